import { random } from '../samples/scene/random.ts';

/** Whether all cases are run, not a sample of them. */
export const FULL = Boolean(process.env.LINEWASH_FULL);

/** The seed of this run, which its first lines print. */
export const SEED = Number(process.env.LINEWASH_SEED ?? 1);

/** All cases of a list in full runs, otherwise `count` of them, drawn by the seed of the run, in their order. */
export const someOf = <T>(cases: readonly T[], count: number): readonly T[] => {
  if (FULL || count >= cases.length) return cases;
  const rng = random(SEED, cases.length);
  const kept = new Set<number>();
  while (kept.size < count) kept.add(Math.floor(rng.uniform() * cases.length));
  return cases.filter((_, i) => kept.has(i));
};

/**
 * Pairs of every row with every column in full runs. Otherwise every row with one column, by turns, so that each
 * column has its rows too; which one it is depends on the seed of the run.
 */
export const pairsOf = <R, C>(rows: readonly R[], columns: readonly C[]): readonly (readonly [R, C])[] =>
  rows.flatMap((row, i) =>
    columns.flatMap((column, j) => (FULL || (i + SEED) % columns.length === j ? [[row, column] as const] : [])),
  );

/**
 * Whether a long test runs this time: in one run of `turns`, chosen by the seed of the run, and in every full run.
 * Otherwise it is skipped, and counted as skipped. For tests that need not run each time.
 * @param name spreads tests over the runs
 */
export const inTurn = (name: string, turns = 2): boolean => {
  const place = [...name].reduce((sum, letter) => sum + letter.charCodeAt(0), 0);
  return FULL || (place + SEED) % turns === 0;
};
