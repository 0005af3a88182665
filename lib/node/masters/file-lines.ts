import { checkSizes } from '../../measure/measure.ts';
import { inputError } from '../../plane/errors.ts';
import { fewRemembered, memoAsync } from '../../plane/memo.ts';
import { inHalves } from '../../plane/progress.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { neededChannels } from '../../recipe/settle/channels.ts';
import type { SmallChannels } from '../../recipe/settle/settle-prepared.ts';
import { type OpenLines, type Zeros, zerosOf } from '../../work/open-lines.ts';
import { type MasterSources, smallCopies } from '../../work/small-copies.ts';
import { filledCopies } from '../../work/small-filled.ts';
import { type FindingsCache, NO_CACHE } from '../cache/findings-cache.ts';
import { closeMasters, type Master, openKnown } from './masters.ts';
import type { MisfitDepth } from './misfits.ts';
import { settleMasters } from './settle-masters.ts';

/** How the files of lines are opened, and what they are looked at for. */
export interface FileLinesOptions extends Omit<StripOptions, 'progress'> {
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly cache?: FindingsCache | undefined;
  /** How closely masters are looked at for what does not fit; as `settleMasters` does by default. */
  readonly depth?: MisfitDepth | undefined;
}

/** Lines whose masters are files. */
export interface FileLines extends OpenLines {
  /** The masters of all lines; opened once for each way of taking zeros. */
  masters(zeros: Zeros, options?: Pick<StripOptions, 'progress'>): Promise<readonly Master[]>;
}

/**
 * Opens files by line when they are first asked for, lets `work` use them, and closes them whatever comes of it.
 * @throws LinewashError 'input' or 'format' naming the file.
 */
export const withLines = async <T>(
  inputs: Readonly<Record<string, string>>,
  options: FileLinesOptions,
  work: (lines: FileLines) => Promise<T>,
): Promise<T> => {
  const opened = new Set<Promise<readonly Master[]>>();
  try {
    return await work(fileLines(inputs, options, opened));
  } finally {
    // Each is closed, whether or not others could be opened.
    for (const result of await Promise.allSettled(opened))
      if (result.status === 'fulfilled') await closeMasters(result.value);
  }
};

const fileLines = (
  inputs: Readonly<Record<string, string>>,
  { apart, cache = NO_CACHE, depth, signal, executor }: FileLinesOptions,
  opened: Set<Promise<readonly Master[]>>,
): FileLines => {
  const common = { signal, executor };
  const open = memoAsync((zeros, { progress }): Promise<readonly Master[]> => {
    const masters = openKnown(inputs, { zeros: zeros as Zeros, apart, ...common, progress }, cache);
    opened.add(masters);
    return masters;
  });
  const seen = new Set<Zeros>();
  const masters: FileLines['masters'] = async (zeros, options = {}) => {
    const all = await open(zeros, options);
    seen.add(zeros);
    return all;
  };
  const chosen = async (names: readonly string[], zeros: Zeros): Promise<Master[]> => {
    const all = await masters(zeros);
    const found = names.map((name) => masterOf(all, name));
    checkSizes(found);
    return found;
  };
  const small = new Map<Master, MasterSources['small']>();
  const smallOf = (master: Master): MasterSources['small'] => {
    const known = small.get(master) ?? smallCopies(master.source, async () => master.source);
    small.set(master, known);
    return known;
  };
  const copiesOf: FileLines['small'] = async (names, zeros, longest, options) => {
    const copies = [];
    for (const master of await chosen(names, zeros))
      copies.push({ name: master.name, source: await smallOf(master)(zeros, longest, options) });
    return copies;
  };
  const once = fewRemembered();
  return {
    names: Object.keys(inputs),
    masters,
    once,
    full: chosen,
    small: copiesOf,
    async settle(recipe, { progress } = {}) {
      const zeros = zerosOf(recipe);
      const [opening, measuring] = seen.has(zeros) ? [undefined, progress] : inHalves(progress);
      await masters(zeros, { progress: opening });
      const found = await chosen(neededChannels(recipe), zeros);
      const smaller: SmallChannels = (names, longest, spots) =>
        filledCopies({ full: chosen, small: copiesOf, once }, { names, zeros, longest }, spots, { signal });
      return settleMasters(recipe, found, { ...common, progress: measuring, depth, small: smaller }, cache);
    },
  };
};

const masterOf = (masters: readonly Master[], name: string): Master => {
  const found = masters.find((master) => master.name === name);
  if (found === undefined) throw inputError(`no master for ${name}`, `add ${name}=FILE`);
  return found;
};
