/**
 * Exact order statistics of a stream of float32 values in fixed memory.
 *
 * The bits of a float32, with the sign folded in, sort like the number itself. A first pass counts the upper 16 bits of
 * that key; a question that falls inside a bin is answered roughly and asks for the bin to be *refined*: a second pass
 * counts the lower 16 bits of the refined bins, and the same question is asked again. An answer is exact when nothing
 * was wanted on the way to it.
 */
export interface OrderIndex {
  /** Subtracted before summing, so that sums of squares lose nothing to a large pedestal. */
  readonly centre: number;
  readonly counts: Uint32Array;
  readonly sums: Float64Array;
  readonly squares: Float64Array;
  /** Upper key → counts by lower key. */
  readonly refined: Map<number, Uint32Array>;
  /** Bins that a question needed and found unrefined. */
  readonly wanted: Set<number>;
  total: number;
  /** Values in all bins before each bin; made when the first question is asked. */
  before: Float64Array | undefined;
}

const BINS = 1 << 16;
const word = new Uint32Array(1);
const real = new Float32Array(word.buffer);

const keyOf = (value: number): number => {
  real[0] = value;
  // −0 and 0 are one value and must share a key.
  const bits = real[0] === 0 ? 0 : word[0]!;
  return bits & 0x80000000 ? ~bits >>> 0 : (bits | 0x80000000) >>> 0;
};

const valueOf = (key: number): number => {
  word[0] = key & 0x80000000 ? key & 0x7fffffff : ~key;
  return real[0]!;
};

export const createOrderIndex = (centre: number): OrderIndex => ({
  centre,
  counts: new Uint32Array(BINS),
  sums: new Float64Array(BINS),
  squares: new Float64Array(BINS),
  refined: new Map(),
  wanted: new Set(),
  total: 0,
  before: undefined,
});

/** First pass: adds finite float32 values. NaN must have been left out. */
export const addValues = (index: OrderIndex, values: Float32Array, n: number): void => {
  const { counts, sums, squares, centre } = index;
  const bits = new Uint32Array(values.buffer, values.byteOffset, n);
  for (let i = 0; i < n; i++) {
    const b = bits[i]!;
    const bin = b & 0x80000000 ? (~b >>> 16) & 0xffff : (b >>> 16) | 0x8000;
    const d = values[i]! - centre;
    counts[bin]!++;
    sums[bin]! += d;
    squares[bin]! += d * d;
  }
  index.total += n;
};

/** Before a second pass: makes room for the wanted bins. Returns false where none is wanted. */
export const beginRefining = (index: OrderIndex): boolean => {
  for (const bin of index.wanted) index.refined.set(bin, new Uint32Array(BINS));
  return index.wanted.size > 0;
};

/** Second pass: counts the lower keys of the bins wanted when `beginRefining` was called. */
export const refineValues = (index: OrderIndex, values: Float32Array, n: number): void => {
  const table: (Uint32Array | undefined)[] = [];
  table.length = BINS;
  table.fill(undefined);
  for (const bin of index.wanted) table[bin] = index.refined.get(bin);
  const bits = new Uint32Array(values.buffer, values.byteOffset, n);
  for (let i = 0; i < n; i++) {
    const b = bits[i]!;
    const key = b & 0x80000000 ? ~b : b | 0x80000000;
    const lower = table[key >>> 16];
    if (lower !== undefined) lower[key & 0xffff]!++;
  }
};

/** After a second pass. */
export const endRefining = (index: OrderIndex): void => index.wanted.clear();

const countsBefore = (index: OrderIndex): Float64Array => {
  if (index.before !== undefined) return index.before;
  const before = new Float64Array(BINS + 1);
  for (let bin = 0; bin < BINS; bin++) before[bin + 1] = before[bin]! + index.counts[bin]!;
  index.before = before;
  return before;
};

/** The k-th smallest value, k = 0…total − 1. */
export const valueAtRank = (index: OrderIndex, k: number): number => {
  const before = countsBefore(index);
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
    const share = (k - before[low]!) / index.counts[low]!;
    return valueOf((low << 16) | Math.floor(share * BINS));
  }
  let seen = before[low]!;
  let key = 0;
  while (seen + lower[key]! <= k) seen += lower[key++]!;
  return valueOf((low << 16) | key);
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
  const all = countsBefore(index)[bin]!;
  if (index.counts[bin] === 0) return all;
  const lower = index.refined.get(bin);
  if (lower === undefined) {
    if (ask) index.wanted.add(bin);
    return all + (index.counts[bin]! * keys) / BINS;
  }
  let count = all;
  for (let key = 0; key < keys; key++) count += lower[key]!;
  return count;
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
  const result: Moments = { count: countsBefore(index)[bin]!, sum: 0, squares: 0 };
  for (let b = 0; b < bin; b++) {
    result.sum += index.sums[b]!;
    result.squares += index.squares[b]!;
  }
  if (index.counts[bin] === 0) return result;
  const lower = index.refined.get(bin);
  if (lower === undefined) {
    index.wanted.add(bin);
    const share = keys / BINS;
    result.count += index.counts[bin]! * share;
    result.sum += index.sums[bin]! * share;
    result.squares += index.squares[bin]! * share;
    return result;
  }
  for (let key = 0; key < keys; key++) {
    const count = lower[key]!;
    if (count === 0) continue;
    const d = valueOf((bin << 16) | key) - index.centre;
    result.count += count;
    result.sum += count * d;
    result.squares += count * d * d;
  }
  return result;
};
