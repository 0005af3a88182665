import { inputError, LinewashError } from '../../../lib/plane/errors.ts';
import { checkedRecipe } from '../../../lib/recipe/written/parse.ts';
import type { Recipe, WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import type { OpenedMaster } from '../../../lib/web/open-master.ts';
import type { Preview } from '../../../lib/web/preview.ts';
import type { CallOptions } from '../../../lib/web/wire/rpc.ts';
import { channelsOf, neededLines } from '../../../playground/model/columns.ts';
import { $engineRun, useEngine } from '../../../playground/state/engine.ts';
import { preview } from '../support.ts';

/** What a picture was asked for with. */
export interface Asked {
  readonly lines: Readonly<Record<string, string>>;
  readonly recipe: WrittenRecipe;
  readonly stars?: boolean;
}

/** A question that waits for its answer. */
interface Waiting {
  readonly name: string;
  /** Each question has one of its own. */
  readonly argument: any;
  readonly options: CallOptions;
  resolve(value: unknown): void;
  reject(error: Error): void;
}

/** A worker that answers when the test says so, in whatever order. */
export interface FakeEngine {
  readonly waiting: () => number;
  /** Answers one of the questions that wait, truly. */
  answer(index: number): void;
  /** Lets one of the questions that wait fail. */
  fail(index: number, error: Error): void;
  /** Tells that a part of one is done. */
  progress(index: number): void;
  /** Ends the worker; another takes its place. */
  crash(): void;
  /** Whether the worker has all of these masters. */
  has(ids: readonly string[]): boolean;
  /** What a picture was asked for with. */
  askedFor(picture: object): Asked;
}

/** Files are called TARGET-LINE-NUMBER.fits; masters of a target have one size. */
export const SIZES: Readonly<Record<string, readonly [number, number]>> = { kelp: [60, 40], moss: [48, 48] };

const opened = ({ id, name }: { id: string; name: string }): OpenedMaster => {
  const [target, line] = name.split('-') as [string, string];
  const [width, height] = SIZES[target]!;
  const facts: OpenedMaster['facts'] =
    line === 'unknown' ? { from: {} } : { filter: line, hours: 4, from: { filter: 'FILTER' } };
  return { id, file: name, width, height, type: 'u16', facts, warnings: [] };
};

const idsIn = (lines: Readonly<Record<string, string>>, names: readonly string[]): string[] =>
  names.flatMap((name) => lines[name]?.split('+') ?? []);

export const fakeEngine = (): FakeEngine => {
  let waiting: Waiting[] = [];
  const masters = new Map<string, OpenedMaster>();
  let stars = false;
  const stamps = new WeakMap<object, Asked>();

  const picture = (asked: Asked): Preview => {
    const names = neededLines(asked.recipe);
    if (names.length === 0) checkedRecipe(asked.recipe);
    const none = names.find((name) => asked.lines[name] === undefined);
    if (none !== undefined) throw inputError(`no master for ${none}`, `open a master and give it the line ${none}`);
    const found = idsIn(asked.lines, names).map((id) => masters.get(id));
    if (found.includes(undefined)) throw new RangeError('no such master is open');
    if (asked.stars && !stars) throw inputError('no picture of the stars is open', 'open it again');
    const [{ width, height }] = found as [OpenedMaster];
    if (found.some((other) => other!.width !== width)) throw inputError('the masters differ in size', 'register them');
    const plain = { ...asked.recipe, channels: channelsOf(asked.recipe) } as Recipe;
    const made = { ...preview(width, height), plain };
    stamps.set(made, asked);
    return made;
  };

  const answerTo = ({ name, argument }: Waiting): unknown => {
    switch (name) {
      case 'open': {
        masters.set(argument.id, opened(argument));
        return masters.get(argument.id);
      }
      case 'close':
        return void masters.delete(argument.id);
      case 'openStars':
        stars = true;
        return { width: 60, height: 40, warnings: [] };
      case 'measure':
        return Object.keys(argument.lines).map((line) => ({ line }));
      case 'combinations':
        return [];
      case 'cover':
        return { box: undefined, warnings: [] };
      case 'preview':
        return picture(argument);
      case 'export':
        return void picture(argument);
      default:
        throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
    }
  };

  const take = (index: number): Waiting => {
    const [taken] = waiting.splice(index, 1);
    return taken!;
  };

  const connection = () => {
    let ended = false;
    useEngine({
      call: (name: string, argument: unknown, options: CallOptions = {}) =>
        ended
          ? Promise.reject(cancelled())
          : new Promise((resolve, reject) => waiting.push({ name, argument, options, resolve, reject })),
      fail() {
        ended = true;
      },
    } as never);
    return () => {
      ended = true;
    };
  };
  let end = connection();

  return {
    waiting: () => waiting.length,
    answer(index) {
      const question = take(index);
      try {
        question.resolve(answerTo(question));
      } catch (error) {
        question.reject(error as Error);
      }
    },
    fail: (index, error) => take(index).reject(error),
    progress: (index) => waiting[index]!.options.progress?.(0.5),
    crash() {
      const gone = waiting;
      waiting = [];
      masters.clear();
      stars = false;
      end();
      for (const { reject } of gone) reject(cancelled());
      end = connection();
      $engineRun.set($engineRun.get() + 1);
    },
    has: (ids) => ids.every((id) => masters.has(id)),
    askedFor: (made) => stamps.get(made)!,
  };
};

export const cancelled = (): LinewashError => new LinewashError({ tag: 'cancelled', message: 'the worker stopped' });
