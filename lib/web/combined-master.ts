import { isSamePicture } from '../measure/identity.ts';
import { inputError } from '../plane/errors.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { combined } from '../prepare/combine.ts';
import { type Match, matchMasters } from '../prepare/match.ts';
import { type Master, once, smallCopies, type Zeros } from './open-master.ts';

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
  const matched = once(async (zeros, options): Promise<Match> => {
    const sources: PlaneSource[] = [];
    for (const part of parts) sources.push(await part.source(zeros as Zeros, options));
    await refuseCopies(sources);
    return matchMasters(sources, options);
  });
  const match = (zeros: Zeros, options: StripOptions = {}) => matched(zeros, options);
  const source: Master['source'] = async (zeros, options) => combined((await match(zeros, options)).parts);
  return {
    blob: parts[0]!.blob,
    opened: { ...first, id, file },
    source,
    small: smallCopies(file, first, source),
    match,
  };
};

/** The noise of a copy is no other noise: a mean with it would promise a gain that is none. */
const refuseCopies = async (sources: readonly PlaneSource[]): Promise<void> => {
  for (const [i, a] of sources.entries())
    for (const b of sources.slice(i + 1))
      if (await isSamePicture(a, b))
        throw inputError(`${b.file} holds the same picture as ${a.file}`, 'use one of the two for this line');
};
