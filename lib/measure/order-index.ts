import { BINS, type LowerCounts, type PlaceCounts, type UpperCounts } from '../plane/counting.ts';
import { keyOf, numberOf } from './float-key.ts';
import { placeAtRank, sumsBelow } from './place-counts.ts';

/**
 * Exact order statistics of a stream of float32 values in fixed memory.
 *
 * The bits of a float32, with the sign folded in, sort like the number itself. A first pass counts the upper 16 bits of
 * that key; a question that falls inside a bin is answered roughly and asks for the bin to be *refined*: a second pass
 * counts the lower 16 bits of the refined bins, and the same question is asked again. An answer is exact when nothing
 * was wanted on the way to it.
 *
 * Within a bin a value is a straight line of its lower bits, so moments follow from whole numbers alone: they do not
 * depend on the order in which values were counted.
 */
export interface OrderIndex {
  /** Subtracted before summing, so that sums of squares lose nothing to a large pedestal. */
  readonly centre: number;
  readonly total: number;
  /** How many values lie in all bins before each bin, and their moments about `centre`; last those of all bins. */
  readonly before: Float64Array;
  readonly sumsBefore: Float64Array;
  readonly squaresBefore: Float64Array;
  /** Upper key → how many values of the bin have each lower key. */
  readonly refined: Map<number, readonly PlaceCounts[]>;
  /** Bins that a question needed and found unrefined. */
  readonly wanted: Set<number>;
}

export const createOrderIndex = ({ bins }: UpperCounts, centre: number): OrderIndex => {
  const before = new Float64Array(BINS + 1);
  const sumsBefore = new Float64Array(BINS + 1);
  const squaresBefore = new Float64Array(BINS + 1);
  for (let bin = 0; bin < BINS; bin++) {
    const n = bins[3 * bin]!;
    const { sum, squares } = n === 0 ? NOTHING : momentsOf(bin, n, bins[3 * bin + 1]!, bins[3 * bin + 2]!, centre);
    before[bin + 1] = before[bin]! + n;
    sumsBefore[bin + 1] = sumsBefore[bin]! + sum;
    squaresBefore[bin + 1] = squaresBefore[bin]! + squares;
  }
  const refined = new Map<number, readonly PlaceCounts[]>();
  return { centre, total: before[BINS]!, before, sumsBefore, squaresBefore, refined, wanted: new Set() };
};

const NOTHING = { sum: 0, squares: 0 };

/** Moments of a bin's n values about `centre`, from the sums of their lower bits and of these squared. */
const momentsOf = (bin: number, n: number, places: number, placesSquared: number, centre: number) => {
  const lowest = numberOf((bin << 16) >>> 0);
  const step = numberOf(((bin << 16) | 1) >>> 0) - lowest;
  const d = lowest - centre;
  return { sum: n * d + step * places, squares: n * d * d + 2 * d * step * places + step * step * placesSquared };
};

/** How many values a bin holds. */
const countOf = ({ before }: OrderIndex, bin: number): number => before[bin + 1]! - before[bin]!;

/** Moments of all values. */
export const momentsOfAll = ({ total, sumsBefore, squaresBefore }: OrderIndex): Moments => ({
  count: total,
  sum: sumsBefore[BINS]!,
  squares: squaresBefore[BINS]!,
});

/** The wanted bins, of which a second pass is to count the lower keys; empty where all answers were exact. */
export const wantedBins = (index: OrderIndex): number[] => [...index.wanted].sort((a, b) => a - b).slice(0, MOST_BINS);

/** Bins that one pass refines: each takes 256 KiB. */
const MOST_BINS = 48;

/** Takes what a second pass counted. */
export const refineBins = (index: OrderIndex, bins: readonly number[], lowers: LowerCounts): void => {
  for (const [k, bin] of bins.entries()) index.refined.set(bin, lowers[k]!);
  index.wanted.clear();
};

/** The k-th smallest value, k = 0…total − 1. */
export const valueAtRank = (index: OrderIndex, k: number): number => {
  const { before } = index;
  let low = 0;
  let high = BINS;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (before[middle]! <= k) low = middle;
    else high = middle;
  }
  const lower = index.refined.get(low);
  if (lower === undefined) {
    index.wanted.add(low);
    const share = (k - before[low]!) / countOf(index, low);
    return numberOf((low << 16) | Math.floor(share * BINS));
  }
  return numberOf((low << 16) | placeAtRank(lower, k - before[low]!));
};

/** Where a bound cuts the index: its bin, and how many lower keys of that bin lie below it. */
const cutAt = (bound: number, inclusive: boolean): { bin: number; keys: number } => {
  const near = Math.fround(bound);
  const key = keyOf(near);
  // Keys sort like values; at the key of the bound itself the comparison is made in float64.
  const takesOwn = near < bound || (inclusive && near === bound);
  return { bin: key >>> 16, keys: (key & 0xffff) + (takesOwn ? 1 : 0) };
};

/** How many values are < bound, or ≤ bound. With `ask` false a rough answer does not ask for refinement. */
export const countBelow = (index: OrderIndex, bound: number, inclusive: boolean, ask = true): number => {
  const { bin, keys } = cutAt(bound, inclusive);
  const all = index.before[bin]!;
  if (countOf(index, bin) === 0) return all;
  const lower = index.refined.get(bin);
  if (lower === undefined) {
    if (ask) index.wanted.add(bin);
    return all + (countOf(index, bin) * keys) / BINS;
  }
  return all + sumsBelow(lower, keys).count;
};

/** Count, sum and sum of squares (both about `centre`) of a set of values. */
export interface Moments {
  count: number;
  sum: number;
  squares: number;
}

/** Moments of all values < bound, or ≤ bound. */
export const momentsBelow = (index: OrderIndex, bound: number, inclusive: boolean): Moments => {
  const { bin, keys } = cutAt(bound, inclusive);
  const { sumsBefore, squaresBefore, before, centre } = index;
  const result: Moments = { count: before[bin]!, sum: sumsBefore[bin]!, squares: squaresBefore[bin]! };
  if (countOf(index, bin) === 0) return result;
  const lower = index.refined.get(bin);
  if (lower === undefined) {
    index.wanted.add(bin);
    const share = keys / BINS;
    result.count += countOf(index, bin) * share;
    result.sum += (sumsBefore[bin + 1]! - sumsBefore[bin]!) * share;
    result.squares += (squaresBefore[bin + 1]! - squaresBefore[bin]!) * share;
    return result;
  }
  const { count, places, squares } = sumsBelow(lower, keys);
  const own = momentsOf(bin, count, places, squares, centre);
  result.count += count;
  result.sum += own.sum;
  result.squares += own.squares;
  return result;
};
