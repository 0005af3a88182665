import type { CurveKind, CurveParameters } from './curve.ts';

/** A piecewise cubic by its knots. */
export interface Spline {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Slope at each knot. */
  readonly m: Float64Array;
}

/**
 * Knot slopes of the monotone cubic Hermite interpolant.
 * Source: F. N. Fritsch, R. E. Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17(2), 1980:
 * secant averages, limited to the circle of radius 3 in (α, β).
 */
export const splineThrough = (p: Pick<CurveParameters, 'points'>): Spline => {
  const inner = [...(p.points ?? [])].sort((a, b) => a[0] - b[0]);
  const knots = [...inner];
  if (knots[0]?.[0] !== 0) knots.unshift([0, 0]);
  if (knots[knots.length - 1]![0] !== 1) knots.push([1, 1]);
  const n = knots.length;
  const x = Float64Array.from(knots, (k) => k[0]);
  const y = Float64Array.from(knots, (k) => k[1]);
  const secant = new Float64Array(n - 1);
  for (let i = 0; i < n - 1; i++) secant[i] = (y[i + 1]! - y[i]!) / (x[i + 1]! - x[i]!);
  const m = new Float64Array(n);
  m[0] = secant[0]!;
  m[n - 1] = secant[n - 2]!;
  for (let i = 1; i < n - 1; i++) m[i] = secant[i - 1]! * secant[i]! <= 0 ? 0 : (secant[i - 1]! + secant[i]!) / 2;
  for (let i = 0; i < n - 1; i++) limitSlopes(m, secant[i]!, i);
  return { x, y, m };
};

const limitSlopes = (m: Float64Array, secant: number, i: number): void => {
  if (secant === 0) {
    m[i] = 0;
    m[i + 1] = 0;
    return;
  }
  const alpha = m[i]! / secant;
  const beta = m[i + 1]! / secant;
  const radius = Math.hypot(alpha, beta);
  if (radius <= 3) return;
  m[i] = (3 / radius) * alpha * secant;
  m[i + 1] = (3 / radius) * beta * secant;
};

/** The piece that holds t. */
export const segmentAt = (x: Float64Array, t: number): number => {
  let i = 0;
  while (i < x.length - 2 && t > x[i + 1]!) i++;
  return i;
};

/** Monotone cubic through given points; (0, 0) and (1, 1) are added where the points do not say otherwise. */
export const points: CurveKind = {
  name: 'points',
  about: 'A smooth rising curve through points of your own.',
  range: undefined,
  curve(p) {
    const { x, y, m } = splineThrough(p);
    return (t) => {
      const i = segmentAt(x, t);
      const h = x[i + 1]! - x[i]!;
      const u = (t - x[i]!) / h;
      const v = 1 - u;
      const value =
        v * v * (1 + 2 * u) * y[i]! +
        u * v * v * h * m[i]! +
        u * u * (3 - 2 * u) * y[i + 1]! -
        u * u * v * h * m[i + 1]!;
      return Math.min(1, Math.max(0, value));
    };
  },
  slope(p) {
    const { x, y, m } = splineThrough(p);
    return (t) => {
      const i = segmentAt(x, t);
      const h = x[i + 1]! - x[i]!;
      const u = (t - x[i]!) / h;
      const rise = (6 * u * (1 - u) * (y[i + 1]! - y[i]!)) / h;
      return rise + (1 - u) * (1 - 3 * u) * m[i]! + u * (3 * u - 2) * m[i + 1]!;
    };
  },
  place: undefined,
};
