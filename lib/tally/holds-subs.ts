import type { Tally } from './tally.ts';

/** Fewer pictures than these repeat no line often enough to be subs. */
export const FEWEST_SUBS = 4;

/**
 * Whether files that were counted are sub-exposures, not masters to be mixed. Headers that state a stack are masters;
 * of the others, a line with one picture or a few looks like a master, one with many of the same length like subs:
 * masters come once for each line of a target, however many targets there are.
 */
export const holdsSubs = ({ targets, unnamed, left }: Tally): boolean => {
  const repeats = targets.flatMap(({ lines }) => lines.flatMap((one) => Object.values(one.lengths)));
  for (const filter of new Set(unnamed.map((one) => one.filter)))
    repeats.push(unnamed.filter((one) => one.filter === filter).length);
  const sum = (counts: readonly number[]) => counts.reduce((total, count) => total + count, 0);
  return (
    sum(repeats.filter((count) => count >= FEWEST_SUBS)) > sum(repeats.filter((c) => c < FEWEST_SUBS)) + left.masters
  );
};
