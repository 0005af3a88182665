import { memoAsync } from '../plane/memo.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { combined } from '../prepare/combine.ts';
import type { Match } from '../prepare/match.ts';
import type { Zeros } from '../work/open-lines.ts';
import { smallCopies } from '../work/small-copies.ts';
import { type Master, middleOf } from './open-master.ts';
import { poolExecutor } from './workers/master-work.ts';

/** Between the ids of masters that stand for one line together. */
const JOINT = '+';

export const isCombined = (id: string): boolean => id.includes(JOINT);

/** The ids of all masters that stand for a line: one, or several that are combined. */
export const partsOf = (id: string): string[] => id.split(JOINT);

/**
 * Combines masters of one line by inverse variance, matched in level and strength, once for each way of taking zeros.
 * Asking for its pixels throws LinewashError 'input' where they do not belong together.
 */
export const combinedMaster = (id: string, parts: readonly Master[]): Master => {
  const first = parts[0]!.opened;
  const file = parts.map(({ opened }) => opened.file).join(', ');
  const matched = memoAsync(async (zeros, options): Promise<Match> => {
    const sources: PlaneSource[] = [];
    for (const part of parts) sources.push(await part.source(zeros as Zeros, options));
    // Most lines have one master.
    const { combineLine } = await import('../recipe/settle/combine-line.ts');
    return combineLine(sources, { ...options, executor: poolExecutor(options) });
  });
  const match = (zeros: Zeros, options: StripOptions = {}) => matched(zeros, options);
  const source: Master['source'] = async (zeros, options) => combined((await match(zeros, options)).parts);
  return {
    blob: parts[0]!.blob,
    opened: { ...first, id, file },
    source,
    small: smallCopies(first, source, middleOf),
    match,
  };
};
