import { type Channel, checkSizes, type measureChannels } from '../measure/measure.ts';
import { inputError } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import {
  type ChannelsResult,
  neededChannels,
  type Preparation,
  preparationKey,
  prepareChannels,
} from '../recipe/settle/channels.ts';
import { type Combinable, combinationNotes, withCombinations } from '../recipe/settle/combinations.ts';
import { settle } from '../recipe/settle/settle.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { combinedMaster, isCombined, partsOf } from './combined-master.ts';
import { type Lines, lineMeasurer, type MeasureLines } from './measure-lines.ts';
import { type Master, once, type Zeros } from './open-master.ts';
import { poolExecutor } from './workers/master-work.ts';

/** The open masters and what was measured on them. */
export interface Bench {
  add(master: Master): void;
  remove(id: string): void;
  /** One master, or several whose ids are joined by `+`, combined. */
  get(id: string): Master;
  /** Channels at full size. */
  full(lines: Lines, names: readonly string[], zeros: Zeros, options?: StripOptions): Promise<Channel[]>;
  /** Channels whose longer side is at most `longest`. */
  small(
    lines: Lines,
    names: readonly string[],
    zeros: Zeros,
    longest: number,
    options?: StripOptions,
  ): Promise<Channel[]>;
  readonly measure: MeasureLines;
  /** Settles a recipe exactly as the command line does: only the lines it uses are measured, at full size. */
  settle(lines: Lines, recipe: Recipe, options?: StripOptions): Promise<ChannelsResult>;
}

export const zerosOf = (recipe: Recipe): Zeros => recipe.zeros ?? 'undefined';

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
  /** The combined ones among the lines, with how they were combined. */
  const combinedLines = async (lines: Lines, names: readonly string[], zeros: Zeros, options: StripOptions) => {
    const found: Combinable[] = [];
    for (const name of names) {
      const master = masterOf(lines, name);
      if (master.match) found.push({ name, match: await master.match(zeros, options) });
    }
    return found;
  };
  const masterOf = (lines: Lines, name: string): Master => {
    const id = lines[name];
    if (id === undefined) throw inputError(`no master for ${name}`, `open a master and give it the line ${name}`);
    return get(id);
  };
  type Choose = (master: Master) => Promise<Channel['source']>;
  const channels = async (lines: Lines, names: readonly string[], source: Choose) => {
    // All at once, so that whoever shares the work has enough of it; what is wrong is said in the order of the lines.
    const asked = names.map((name) => masterOf(lines, name)).map(source);
    for (const one of asked) one.catch(() => {});
    const found: Channel[] = [];
    for (const [i, name] of names.entries()) found.push({ name, source: await asked[i]! });
    checkSizes(found);
    return found;
  };
  const full: Bench['full'] = (lines, names, zeros, options) => channels(lines, names, (m) => m.source(zeros, options));
  const measure = lineMeasurer(full);
  const prepare = preparer(full, measure);
  return {
    get,
    full,
    measure,
    add: (master) => void masters.set(master.opened.id, master),
    remove(id) {
      for (const other of [...masters.keys()]) if (partsOf(other).includes(id)) masters.delete(other);
    },
    async small(lines, names, zeros, longest, options) {
      await full(lines, names, zeros, options);
      return channels(lines, names, (m) => m.small(zeros, longest, options));
    },
    async settle(lines, recipe, options = {}) {
      const needed = neededChannels(recipe);
      const combined = await combinedLines(lines, needed, zerosOf(recipe), options);
      const { measured, findings, warnings } = await prepare(lines, recipe, options);
      const result = settle(recipe, measured, findings);
      return {
        settled: withCombinations(result.settled, combined),
        measured,
        warnings: [...combinationNotes(combined), ...warnings, ...result.warnings],
      };
    },
  };
};

/** Prepares channels, once for all recipes that differ only in what comes after the measuring. */
const preparer = (full: Bench['full'], measure: MeasureLines) => {
  const wishes = new Map<string, { lines: Lines; recipe: Recipe }>();
  const prepared = once(async (key, options): Promise<Preparation> => {
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

/** Whether what is measured differs from the masters as they are: a gradient or a continuum is taken off first. */
const changesPixels = ({ background, continuum }: Recipe): boolean =>
  background?.model === 'surface' || continuum !== undefined;
