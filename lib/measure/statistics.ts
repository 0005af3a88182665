import { countBelow, momentsBelow, momentsOfAll, type OrderIndex, valueAtRank } from './order-index.ts';

export { MAD_TO_SIGMA } from '../plane/robust.ts';

/** The p-th percentile, linearly interpolated between order statistics at rank (n − 1)·p/100. */
export const percentile = (index: OrderIndex, p: number, first = 0, count = index.total): number => {
  const rank = ((count - 1) * Math.min(100, Math.max(0, p))) / 100;
  const whole = Math.floor(rank + 1e-9);
  const low = valueAtRank(index, first + whole);
  const part = rank - whole;
  return part < 1e-9 ? low : low + part * (valueAtRank(index, first + whole + 1) - low);
};

/** Median absolute deviation about `centre`, unscaled. */
export const medianDeviation = (index: OrderIndex, centre: number, reach: number): number => {
  const within = (d: number, ask: boolean) =>
    countBelow(index, centre + d, true, ask) - countBelow(index, centre - d, false, ask);
  /** The smallest distance that at least `count` values reach. */
  const smallest = (count: number): number => {
    if (within(0, true) >= count) return 0;
    let low = 0;
    let high = reach;
    for (let round = 0; round < 200 && high - low > Number.EPSILON * high; round++) {
      const middle = (low + high) / 2;
      if (within(middle, false) >= count) high = middle;
      else low = middle;
    }
    within(high, true);
    return high;
  };
  const half = Math.floor((index.total - 1) / 2) + 1;
  const lower = smallest(half);
  return index.total % 2 ? lower : (lower + smallest(half + 1)) / 2;
};

export interface Clipped {
  /** Median of the values kept. */
  readonly level: number;
  /** Their population standard deviation. */
  readonly spread: number;
  readonly kept: number;
}

/**
 * Sigma clipping about the median until nothing more is clipped, at most `rounds` times.
 * The definition is that of astropy.stats.sigma_clip with its default centre and deviation; values on a bound stay.
 */
export const clip = (index: OrderIndex, sigmas = 3, rounds = 10): Clipped => {
  let low = Number.NEGATIVE_INFINITY;
  let high = Number.POSITIVE_INFINITY;
  let kept = inside(index, low, high);
  for (let round = 0; round < rounds; round++) {
    const reach = sigmas * kept.spread;
    low = Math.max(low, kept.level - reach);
    high = Math.min(high, kept.level + reach);
    const next = inside(index, low, high);
    if (next.kept === kept.kept) return next;
    kept = next;
  }
  return kept;
};

const inside = (index: OrderIndex, low: number, high: number): Clipped => {
  const below = low === Number.NEGATIVE_INFINITY ? { count: 0, sum: 0, squares: 0 } : momentsBelow(index, low, false);
  const upTo = high === Number.POSITIVE_INFINITY ? momentsOfAll(index) : momentsBelow(index, high, true);
  const count = Math.max(1, Math.round(upTo.count - below.count));
  const mean = (upTo.sum - below.sum) / count;
  const variance = (upTo.squares - below.squares) / count - mean * mean;
  const first = Math.min(index.total - count, Math.round(below.count));
  return { level: percentile(index, 50, first, count), spread: Math.sqrt(Math.max(0, variance)), kept: count };
};
