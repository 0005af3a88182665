import { madSigma, median } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import type { Line } from './line.ts';

type Numbers = ArrayLike<number>;

/** A line with the standard deviation of its slope. */
export interface KnownLine extends Line {
  readonly doubt: number;
}

/** More points than this are thinned out evenly for the start. */
const START_POINTS = 256;
const MOST_ROUNDS = 50;
/** Residuals up to here count in full: 95 % as good as least squares for normal errors (Huber 1981). */
const FULL = 1.345;
/** Residuals beyond here do not count at all. */
const CUT = 4;

/**
 * The median slope of all pairs of points whose x are far apart, and the median of y − slope · x.
 * Source: H. Theil 1950, Proc. Kon. Ned. Akad. Wet. A 53:386; P. K. Sen 1968, J. Am. Stat. Ass. 63:1379. Of the pairs,
 * the half with the smaller |Δx| is left out: errors in x bend these most.
 */
export const theilSen = (x: Numbers, y: Numbers): Line => {
  const n = x.length;
  const apart = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) apart[count++] = Math.abs(x[i]! - x[j]!);
  const least = upperMedian(apart);
  const slopes = new Float64Array(count);
  count = 0;
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) {
      const dx = x[i]! - x[j]!;
      if (Math.abs(dx) >= least && dx !== 0) slopes[count++] = (y[i]! - y[j]!) / dx;
    }
  const slope = upperMedian(slopes, count);
  return { slope, intercept: median(Float64Array.from(y, (v, i) => v - slope * x[i]!)) };
};

/**
 * A line through points with errors in both coordinates: Theil–Sen for a start, then Deming fits (see `deming`) weighted
 * as P. J. Huber ("Robust Statistics", 1981) does, points beyond 4σ left out, until the slope stays.
 * @param ratio var(error of y) / var(error of x)
 * NaN where no two x differ.
 */
export const huberLine = (x: Numbers, y: Numbers, ratio = 1): KnownLine => {
  const step = Math.ceil(x.length / START_POINTS);
  const thin = (values: Numbers) => Float64Array.from(values).filter((_, i) => i % step === 0);
  let line: Line = theilSen(thin(x), thin(y));
  let doubt = Number.NaN;
  for (let round = 0; round < MOST_ROUNDS && Number.isFinite(line.slope); round++) {
    const { slope, intercept } = line;
    const residuals = Float64Array.from(y, (v, i) => v - intercept - slope * x[i]!);
    const sigma = madSigma(residuals, 0);
    const weights = residuals.map((e) => huberWeight(Math.abs(e), sigma));
    const moments = weightedMoments(x, y, weights);
    const next = slopeOf(moments, ratio);
    if (!Number.isFinite(next)) break;
    doubt = doubtOf(moments, next, ratio, sigma);
    line = { slope: next, intercept: moments.my - next * moments.mx };
    if (Math.abs(next - slope) <= 1e-9 * Math.abs(next)) break;
  }
  return { ...line, doubt };
};

const huberWeight = (e: number, sigma: number): number => {
  if (e <= FULL * sigma) return 1;
  return e > CUT * sigma ? 0 : (FULL * sigma) / e;
};

/**
 * σ √(m/n) / s, m the variance of x, s what is left of it without its errors: where x shows nothing beside them the slope
 * is anything. Source: Fuller 1987, "Measurement Error Models", 1.3 (for a slope through points whose errors are normal).
 */
const doubtOf = ({ sxx, total }: Moments, slope: number, ratio: number, sigma: number): number => {
  const variance = sxx / total;
  const shown = variance - sigma ** 2 / (ratio + slope ** 2);
  return shown > 0 ? (sigma * Math.sqrt(variance / total)) / shown : Number.POSITIVE_INFINITY;
};

interface Moments {
  readonly total: number;
  readonly mx: number;
  readonly my: number;
  readonly sxx: number;
  readonly sxy: number;
  readonly syy: number;
}

const weightedMoments = (x: Numbers, y: Numbers, weights: Float64Array): Moments => {
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mx = weights.reduce((sum, w, i) => sum + w * x[i]!, 0) / total;
  const my = weights.reduce((sum, w, i) => sum + w * y[i]!, 0) / total;
  let [sxx, sxy, syy] = [0, 0, 0];
  for (let i = 0; i < weights.length; i++) {
    const [w, dx, dy] = [weights[i]!, x[i]! - mx, y[i]! - my];
    sxx += w * dx * dx;
    sxy += w * dx * dy;
    syy += w * dy * dy;
  }
  return { total, mx, my, sxx, sxy, syy };
};

const slopeOf = ({ sxx, sxy, syy }: Moments, ratio: number): number => {
  const half = (syy - ratio * sxx) / 2;
  const root = Math.hypot(half, Math.sqrt(ratio) * sxy);
  // Of the two forms of the root, the one that does not subtract near numbers.
  return half >= 0 ? (half + root) / sxy : (ratio * sxy) / (root - half);
};
