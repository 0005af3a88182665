import type { SettledStretch } from '../../../lib/recipe/settle/settled.ts';
import { unit } from './formulas.ts';

type Curve = (t: number) => number;

/** The curves of docs/maths/stretch.md. */
const CURVES: Readonly<Record<string, (a: number) => Curve>> = {
  linear: () => (t) => t,
  bias: (a) => (t) => t / ((1 / a - 2) * (1 - t) + 1),
  power: (a) => (t) => t ** a,
  log: (a) => (t) => Math.log1p(a * t) / Math.log1p(a),
  asinh: (a) => (t) => Math.asinh(t / a) / Math.asinh(1 / a),
};

export const curveFor = ({ curve, a, points }: SettledStretch): Curve => {
  if (curve === 'points') return monotone(points!);
  const made = CURVES[curve];
  if (made === undefined) throw new RangeError(`the curve ${curve} has no recomputation: write one here`);
  return made(a!);
};

/**
 * Monotone cubic Hermite (Fritsch & Carlson 1980): secant averages for slopes, brought into the circle of radius 3
 * piece by piece from the left.
 */
const monotone = (inner: readonly (readonly [number, number])[]): Curve => {
  const knots = inner.map(([x, y]) => ({ x, y, slope: 0 }));
  if (knots[0]!.x > 0) knots.unshift({ x: 0, y: 0, slope: 0 });
  if (knots.at(-1)!.x < 1) knots.push({ x: 1, y: 1, slope: 0 });
  const secant = (i: number) => (knots[i + 1]!.y - knots[i]!.y) / (knots[i + 1]!.x - knots[i]!.x);
  const last = knots.length - 1;
  for (const [i, knot] of knots.entries()) {
    const before = secant(Math.max(0, i - 1));
    const after = secant(Math.min(last - 1, i));
    knot.slope = before * after > 0 || i === 0 || i === last ? (before + after) / 2 : 0;
  }
  knots[0]!.slope = secant(0);
  knots[last]!.slope = secant(last - 1);
  for (let i = 0; i < last; i++) {
    const [left, right, s] = [knots[i]!, knots[i + 1]!, secant(i)];
    if (s === 0) {
      left.slope = 0;
      right.slope = 0;
      continue;
    }
    const long = Math.hypot(left.slope / s, right.slope / s);
    if (long > 3) {
      left.slope *= 3 / long;
      right.slope *= 3 / long;
    }
  }
  return (t) => {
    const i = Math.max(0, Math.min(last - 1, knots.findIndex(({ x }) => x >= t) - 1));
    const [left, right] = [knots[i]!, knots[i + 1]!];
    const h = right.x - left.x;
    const u = (t - left.x) / h;
    const rise = right.y - left.y;
    // In powers of u: y + h·m·u + (3Δ − 2hm − hn)u² + (hm + hn − 2Δ)u³.
    const [m, n] = [h * left.slope, h * right.slope];
    return unit(left.y + u * (m + u * (3 * rise - 2 * m - n + u * (m + n - 2 * rise))));
  };
};
