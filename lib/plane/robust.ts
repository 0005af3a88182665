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

const deviation = (values: Float32Array | Float64Array, from: number, to: number): number => {
  let mean = 0;
  for (let i = from; i < to; i++) mean += (values[i]! - mean) / (i - from + 1);
  let squares = 0;
  for (let i = from; i < to; i++) squares += (values[i]! - mean) ** 2;
  return Math.sqrt(squares / (to - from));
};
