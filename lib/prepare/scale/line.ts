import { madSigma, median } from '../../plane/robust.ts';

/** y = intercept + slope · x. */
export interface Line {
  readonly slope: number;
  readonly intercept: number;
}

type Numbers = ArrayLike<number>;

/**
 * Repeated medians: for each point the median of its slopes to all others, then the median of those; the intercept is
 * the median of y − slope · x. Half of the points may be wrong. Time grows with the square of the count.
 * Source: A. F. Siegel 1982, "Robust regression using repeated medians", Biometrika 69:242.
 * Points with the same x as another give no slope with it; NaN where no two x differ.
 */
export const siegel = (x: Numbers, y: Numbers): Line => {
  const n = x.length;
  const inner: number[] = [];
  const slopes = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let count = 0;
    for (let j = 0; j < n; j++) if (x[j] !== x[i]) slopes[count++] = (y[j]! - y[i]!) / (x[j]! - x[i]!);
    if (count > 0) inner.push(median(slopes.subarray(0, count)));
  }
  const slope = median(inner);
  return { slope, intercept: median(Float64Array.from(y, (v, i) => v - slope * x[i]!)) };
};

/**
 * The line of least squares where both coordinates have errors, whose variances have the ratio `ratio` = var(y)/var(x);
 * 1 gives orthogonal distances.
 * Source: W. E. Deming 1943, "Statistical Adjustment of Data"; closed form: Fuller 1987, "Measurement Error Models", 1.3.
 * The slope is ±Infinity for a vertical line and NaN where neither coordinate varies.
 */
export const deming = (x: Numbers, y: Numbers, ratio = 1): Line => {
  const n = x.length;
  const mx = mean(x);
  const my = mean(y);
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let i = 0; i < n; i++) {
    const dx = x[i]! - mx;
    const dy = y[i]! - my;
    sxx += dx * dx;
    sxy += dx * dy;
    syy += dy * dy;
  }
  const half = (syy - ratio * sxx) / 2;
  const root = Math.hypot(half, Math.sqrt(ratio) * sxy);
  // Of the two forms of the root, the one that does not subtract near numbers.
  const slope = half >= 0 ? (half + root) / sxy : (ratio * sxy) / (root - half);
  return { slope, intercept: my - slope * mx };
};

const mean = (values: Numbers): number => {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i]! - sum) / (i + 1);
  return sum;
};

export interface RobustLine extends Line {
  /** Points that the last fit rests on. */
  readonly count: number;
  /** Scatter of those points about the line, across it in units of y. */
  readonly scatter: number;
}

/** More points than this are thinned out evenly for the robust start. */
const START_POINTS = 600;
const MOST_ROUNDS = 30;

/**
 * Repeated medians for a start, then Deming fits of the points within 3 σ (1.4826 × median absolute residual) until they
 * no longer change. `ratio` = var(error of y) / var(error of x). NaN where no two x differ.
 */
export const robustLine = (x: Numbers, y: Numbers, ratio = 1): RobustLine => {
  const step = Math.ceil(x.length / START_POINTS);
  const thin = (values: Numbers) => Float64Array.from(values).filter((_, i) => i % step === 0);
  let line = siegel(thin(x), thin(y));
  let kept = -1;
  for (let round = 0; ; round++) {
    const residuals = Float64Array.from(y, (v, i) => v - line.intercept - line.slope * x[i]!);
    const scatter = madSigma(residuals, 0);
    const inside = (_: number, i: number) => Math.abs(residuals[i]!) <= 3 * scatter;
    const xs = Float64Array.from(x).filter(inside);
    const ys = Float64Array.from(y).filter(inside);
    if (round === MOST_ROUNDS || xs.length === kept || !Number.isFinite(line.slope))
      return { ...line, count: xs.length, scatter };
    kept = xs.length;
    const next = deming(xs, ys, ratio);
    if (!Number.isFinite(next.slope)) return { ...line, count: xs.length, scatter };
    line = next;
  }
};
