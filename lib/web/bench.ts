import { type Channel, checkSizes, measureChannels } from '../measure/measure.ts';
import { inputError } from '../plane/errors.ts';
import type { Measured } from '../plane/measured.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Recipe } from '../recipe/schema.ts';
import { type SettleResult, settle } from '../recipe/settle.ts';
import { neededChannels, preparationKey, prepareChannels } from '../recipe/settle-channels.ts';
import { type Master, once, type Zeros } from './open-master.ts';

/** Which open master stands for which line: line → id. */
export type Lines = Readonly<Record<string, string>>;

/** The open masters and what was measured on them. */
export interface Bench {
  add(master: Master): void;
  remove(id: string): void;
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
  /** Measures the named lines at full size over their common coverage. */
  measure(
    lines: Lines,
    names: readonly string[],
    zeros: Zeros,
    extra: readonly number[],
    options?: StripOptions,
  ): Promise<Measured[]>;
  /** Settles a recipe exactly as the command line does: only the lines it uses are measured, at full size. */
  settle(lines: Lines, recipe: Recipe, options?: StripOptions): Promise<SettleResult>;
}

export const zerosOf = (recipe: Recipe): Zeros => recipe.zeros ?? 'undefined';

export const createBench = (): Bench => {
  const masters = new Map<string, Master>();
  const get = (id: string): Master => {
    const found = masters.get(id);
    if (found === undefined) throw new RangeError(`no master ${id} is open`);
    return found;
  };
  const masterOf = (lines: Lines, name: string): Master => {
    const id = lines[name];
    if (id === undefined) throw inputError(`no master for ${name}`, `open a master and give it the line ${name}`);
    return get(id);
  };
  const channels = async (
    lines: Lines,
    names: readonly string[],
    source: (m: Master) => Promise<Channel['source']>,
  ) => {
    const found: Channel[] = [];
    for (const name of names) found.push({ name, source: await source(masterOf(lines, name)) });
    checkSizes(found);
    return found;
  };
  const full: Bench['full'] = (lines, names, zeros, options) => channels(lines, names, (m) => m.source(zeros, options));
  const measured = once(async (key, options) => {
    const { lines, names, zeros, extra } = JSON.parse(key);
    return measureChannels(await full(lines, names, zeros, options), { ...options, percentiles: extra });
  });
  const recipes = new Map<string, { lines: Lines; recipe: Recipe }>();
  const preparedKey = (lines: Lines, recipe: Recipe): string => {
    const ids = neededChannels(recipe).map((name) => [name, masterOf(lines, name).opened.id]);
    const key = JSON.stringify([ids, preparationKey(recipe)]);
    recipes.set(key, { lines, recipe });
    return key;
  };
  // Recipes that differ only in what comes after the measuring share one preparation.
  const prepared = once(async (key, options) => {
    const { lines, recipe } = recipes.get(key)!;
    return prepareChannels(recipe, await full(lines, neededChannels(recipe), zerosOf(recipe), options), options);
  });
  const measure: Bench['measure'] = (lines, names, zeros, extra, options = {}) => {
    const chosen = Object.fromEntries(names.map((name) => [name, masterOf(lines, name).opened.id]));
    return measured(JSON.stringify({ lines: chosen, names, zeros, extra }), options);
  };
  return {
    get,
    full,
    measure,
    add: (master) => void masters.set(master.opened.id, master),
    remove: (id) => void masters.delete(id),
    async small(lines, names, zeros, longest, options) {
      await full(lines, names, zeros, options);
      return channels(lines, names, (m) => m.small(zeros, longest, options));
    },
    async settle(lines, recipe, options = {}) {
      const { measured: numbers, findings, warnings } = await prepared(preparedKey(lines, recipe), options);
      const result = settle(recipe, numbers, findings);
      return { settled: result.settled, warnings: [...warnings, ...result.warnings] };
    },
  };
};
