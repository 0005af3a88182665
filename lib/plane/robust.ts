/** MAD → standard deviation of a normal distribution: 1 / Φ⁻¹(3/4). */
export const MAD_TO_SIGMA = 1.482602218505602;

/** The values in rising order, in a new array; NaN last. */
export const sorted = (values: ArrayLike<number>): Float64Array => Float64Array.from(values).sort();

/** Median of values in rising order, the mean of the middle two for even counts; NaN for none. */
export const medianOfSorted = (rising: ArrayLike<number>, from = 0, to = rising.length): number => {
  const middle = (from + to) >> 1;
  if (to <= from) return Number.NaN;
  return (to - from) % 2 ? rising[middle]! : (rising[middle - 1]! + rising[middle]!) / 2;
};

/** Median of values in any order; NaN for none. */
export const median = (values: ArrayLike<number>): number => medianOfSorted(sorted(values));

/** Median absolute deviation about a centre, scaled to the standard deviation of a normal distribution. */
export const madSigma = (values: ArrayLike<number>, centre = median(values)): number =>
  MAD_TO_SIGMA * median(Float64Array.from(values, (v) => Math.abs(v - centre)));

export interface ClippedSample {
  readonly level: number;
  /** Population standard deviation of the values kept. */
  readonly noise: number;
  readonly count: number;
}

/**
 * Sigma clipping of values in rising order about their median until nothing more is clipped, at most `rounds` times.
 * The definition is that of astropy.stats.sigma_clip with its default centre and deviation; values on a bound stay.
 */
export const clipSorted = (rising: Float32Array | Float64Array, sigmas = 3, rounds = 10): ClippedSample => {
  let from = 0;
  let to = rising.length;
  for (let round = 0; ; round++) {
    const level = medianOfSorted(rising, from, to);
    const noise = deviation(rising, from, to);
    let low = from;
    let high = to;
    while (low < high && rising[low]! < level - sigmas * noise) low++;
    while (high > low && rising[high - 1]! > level + sigmas * noise) high--;
    if (round >= rounds || (low === from && high === to)) return { level, noise, count: to - from };
    from = low;
    to = high;
  }
};

/** Four sums at a time: each addition waits for the one before it in its sum. */
const deviation = (values: Float32Array | Float64Array, from: number, to: number): number => {
  const pivot = values[(from + to) >> 1]!;
  const mean = pivot + sumOf(values, from, to, pivot) / (to - from);
  return Math.sqrt(sumOfSquares(values, from, to, mean) / (to - from));
};

const sumOf = (values: Float32Array | Float64Array, from: number, to: number, centre: number): number => {
  let [a, b, c, d] = [0, 0, 0, 0];
  let i = from;
  for (; i + 4 <= to; i += 4) {
    a += values[i]! - centre;
    b += values[i + 1]! - centre;
    c += values[i + 2]! - centre;
    d += values[i + 3]! - centre;
  }
  for (; i < to; i++) a += values[i]! - centre;
  return a + b + c + d;
};

const sumOfSquares = (values: Float32Array | Float64Array, from: number, to: number, centre: number): number => {
  let [a, b, c, d] = [0, 0, 0, 0];
  let i = from;
  for (; i + 4 <= to; i += 4) {
    a += (values[i]! - centre) ** 2;
    b += (values[i + 1]! - centre) ** 2;
    c += (values[i + 2]! - centre) ** 2;
    d += (values[i + 3]! - centre) ** 2;
  }
  for (; i < to; i++) a += (values[i]! - centre) ** 2;
  return a + b + c + d;
};
