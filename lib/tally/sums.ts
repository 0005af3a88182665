import type { TallyLine, TallyNight } from './tally.ts';

/** Subs of one line in one night, by length in seconds. */
type Lengths = Map<number, number>;

/** Subs of one target by line and night; the night is `''` for subs without a date. */
export type LineSums = Map<string, Map<string, Lengths>>;

const innerMap = <K, L, V>(outer: Map<K, Map<L, V>>, key: K): Map<L, V> => {
  const found = outer.get(key) ?? new Map<L, V>();
  outer.set(key, found);
  return found;
};

/** Counts so many subs of a length. */
export const addSubs = (sums: LineSums, line: string, night: string, seconds: number, count = 1): void => {
  const lengths = innerMap(innerMap(sums, line), night);
  lengths.set(seconds, (lengths.get(seconds) ?? 0) + count);
};

/** Adds the subs of one target to those of another. */
export const addSums = (into: LineSums, from: LineSums): void => {
  for (const [line, nights] of from)
    for (const [night, lengths] of nights)
      for (const [seconds, count] of lengths) addSubs(into, line, night, seconds, count);
};

export const subsIn = (sums: LineSums): number =>
  [...sums.values()]
    .flatMap((nights) => [...nights.values()].map((lengths) => totals(lengths).subs))
    .reduce((a, b) => a + b, 0);

/** In the order of lengths, so that sums do not depend on the order of the files. */
const totals = (lengths: Lengths) => {
  const sorted = [...lengths].sort(([a], [b]) => a - b);
  return {
    subs: sorted.reduce((sum, [, count]) => sum + count, 0),
    hours: sorted.reduce((sum, [seconds, count]) => sum + seconds * count, 0) / 3600,
    lengths: Object.fromEntries(sorted.map(([seconds, count]) => [String(seconds), count])),
  };
};

/** The lines of a target, by name. */
export const linesOf = (sums: LineSums): TallyLine[] =>
  [...sums].sort(byName).map(([line, nights]) => {
    const all: LineSums = new Map();
    for (const lengths of nights.values())
      for (const [seconds, count] of lengths) addSubs(all, line, '', seconds, count);
    const { subs, hours, lengths } = totals(all.get(line)!.get('')!);
    const dates = [...nights.keys()].filter((night) => night !== '').sort();
    return {
      line,
      subs,
      hours,
      nights: dates.length,
      lengths,
      ...(dates.length > 0 && { first: dates[0], last: dates.at(-1) }),
    };
  });

/** A target's lines night by night. */
export const nightsOf = (target: string, sums: LineSums): TallyNight[] =>
  [...sums].flatMap(([line, nights]) =>
    [...nights].map(([night, lengths]) => ({ night, target, line, ...totals(lengths) })),
  );

/** Sorts pairs by their first. */
export const byName = ([a]: readonly [string, unknown], [b]: readonly [string, unknown]): number => (a < b ? -1 : 1);
