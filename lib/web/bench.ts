import { type Channel, checkSizes, type measureChannels } from '../measure/measure.ts';
import { inputError } from '../plane/errors.ts';
import { fewRemembered, memoAsync } from '../plane/memo.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels, type Preparation, preparationKey, prepareChannels } from '../recipe/settle/channels.ts';
import { type Combinable, combinationNotes, withCombinations } from '../recipe/settle/combinations.ts';
import { settlePrepared } from '../recipe/settle/settle-prepared.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type OpenLines, type Zeros, zerosOf } from '../work/open-lines.ts';
import { combinedMaster, isCombined, partsOf } from './combined-master.ts';
import { type Lines, lineMeasurer, type MeasureLines } from './measure-lines.ts';
import type { Master } from './open-master.ts';
import { poolExecutor } from './workers/master-work.ts';

/** The open masters and what was measured on them. */
export interface Bench {
  add(master: Master): void;
  remove(id: string): void;
  /** One master, or several whose ids are joined by `+`, combined. */
  get(id: string): Master;
  /** The masters that stand for lines, as all that is done with them knows them. */
  lines(lines: Lines): OpenLines;
  readonly measure: MeasureLines;
}

export const createBench = (): Bench => {
  const masters = new Map<string, Master>();
  const get = (id: string): Master => {
    const found = masters.get(id);
    if (found !== undefined) return found;
    if (!isCombined(id)) throw new RangeError(`no master ${id} is open`);
    const made = combinedMaster(id, partsOf(id).map(get));
    masters.set(id, made);
    return made;
  };
  const masterOf = (lines: Lines, name: string): Master => {
    const id = lines[name];
    if (id === undefined) throw inputError(`no master for ${name}`, `open a master and give it the line ${name}`);
    return get(id);
  };
  /** The combined ones among the lines, with how they were combined. */
  const combinedLines = async (lines: Lines, recipe: Recipe, options: StripOptions) => {
    const found: Combinable[] = [];
    for (const name of neededChannels(recipe)) {
      const master = masterOf(lines, name);
      if (master.match) found.push({ name, match: await master.match(zerosOf(recipe), options) });
    }
    return found;
  };
  const full: FullSize = (lines, names, zeros, options) =>
    allAtOnce(names, (name) => masterOf(lines, name).source(zeros, options));
  const small = async (lines: Lines, ...[names, zeros, longest, options]: Parameters<OpenLines['small']>) => {
    await full(lines, names, zeros, options);
    return allAtOnce(names, (name) => masterOf(lines, name).small(zeros, longest, options));
  };
  const measure = lineMeasurer(full);
  const prepare = preparer(full, measure);
  const once = fewRemembered();
  return {
    get,
    measure,
    add: (master) => void masters.set(master.opened.id, master),
    remove(id) {
      for (const other of [...masters.keys()]) if (partsOf(other).includes(id)) masters.delete(other);
    },
    lines(lines) {
      const open: OpenLines = {
        names: Object.keys(lines),
        once: (key, make) => once(JSON.stringify([lines, key]), make),
        full: (names, zeros, options) => full(lines, names, zeros, options),
        small: (names, zeros, longest, options) => small(lines, names, zeros, longest, options),
        async settle(recipe, options = {}) {
          const combined = await combinedLines(lines, recipe, options);
          const preparation = await prepare(lines, recipe, options);
          const { signal } = options;
          const result = await settlePrepared(recipe, preparation, async (names, longest, spots) => {
            const zeros = zerosOf(recipe);
            if (Object.keys(spots).length === 0) return small(lines, names, zeros, longest, { signal });
            const { filledCopies } = await import('../work/small-filled.ts');
            return filledCopies(open, { names, zeros, longest }, spots, { signal });
          });
          const settled = withCombinations(result.settled, combined);
          const { measured, warnings } = preparation;
          return { settled, measured, notes: combinationNotes(combined), warnings: [...warnings, ...result.warnings] };
        },
      };
      return open;
    },
  };
};

type FullSize = (
  lines: Lines,
  names: readonly string[],
  zeros: Zeros,
  options?: StripOptions,
) => Promise<readonly Channel[]>;

/** Asks for all sources at once, so that whoever shares the work has enough of it; what is wrong is said in the order of the lines. */
const allAtOnce = async (names: readonly string[], sourceOf: (name: string) => Promise<Channel['source']>) => {
  const asked = names.map(async (name) => sourceOf(name));
  for (const one of asked) one.catch(() => {});
  const found: Channel[] = [];
  for (const [i, name] of names.entries()) found.push({ name, source: await asked[i]! });
  checkSizes(found);
  return found;
};

/** Prepares channels, once for all recipes that differ only in what comes after the measuring. */
const preparer = (full: FullSize, measure: MeasureLines) => {
  const wishes = new Map<string, { lines: Lines; recipe: Recipe }>();
  const prepared = memoAsync(async (key, options): Promise<Preparation> => {
    const { lines, recipe } = wishes.get(key)!;
    const channels = await full(lines, neededChannels(recipe), zerosOf(recipe), options);
    const helped = { ...options, executor: poolExecutor(options) };
    if (changesPixels(recipe)) return prepareChannels(recipe, channels, helped);
    const known: typeof measureChannels = (prepared, { percentiles = [] } = {}) =>
      measure(
        lines,
        prepared.map(({ name }) => name),
        zerosOf(recipe),
        percentiles,
        options,
      );
    return prepareChannels(recipe, channels, helped, known);
  });
  return (lines: Lines, recipe: Recipe, options: StripOptions): Promise<Preparation> => {
    const key = JSON.stringify([lines, preparationKey(recipe)]);
    wishes.set(key, { lines, recipe });
    return prepared(key, options);
  };
};

/** Whether what is measured differs from the masters as they are: spots are filled, a gradient or a continuum is taken off first. */
const changesPixels = ({ background, continuum, spots }: Recipe): boolean =>
  background?.model === 'surface' || continuum !== undefined || spots !== undefined;
