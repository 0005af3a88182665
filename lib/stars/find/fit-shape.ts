import { leastSquares } from '../../plane/least-squares.ts';
import { fwhmOf, radiusSquared, roundShape, type StarShape } from '../shape.ts';
import { type Found, firstPixel, shapeRadius } from './detect.ts';

/** Stars that a shape is found from: the brightest that stand alone and are not saturated. */
const MOST = 60;
const FEWEST = 12;
/** Part of the full value up to which a star's peak is trusted. */
const BELOW_FULL = 0.7;
/** Other stars are so many times as far away as half the side of what is looked at. */
const ALONE = 2.2 / 1.5;
/** A model of a star is wrong by this part of it, whatever the noise. */
const MODEL_ERROR = 0.03;
/** Shapes outside of these are not believed: width over the expected one, and the exponent. */
const WIDTHS = [0.5, 2.2] as const;
const BETAS = [1.8, 6] as const;
const ROUNDS = 40;

/** The pixels of a star that a shape is fitted to. */
interface Stamp {
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly values: Float64Array;
  /** One over the deviation of each. */
  readonly weights: Float64Array;
}

/** What is known of stars before their shape is. */
export interface ShapeWish {
  /** The width that is expected, in pixels. */
  readonly fwhm: number;
  readonly noise: number;
  /** From this value on pixels are saturated. */
  readonly full: number | undefined;
}

/**
 * The one shape of all stars of a line, robustly from the brightest that stand alone. Undefined where they are too few, or
 * what they give cannot be.
 */
export const shapeFrom = (
  stars: readonly Found[],
  k: number,
  { fwhm, noise, full }: ShapeWish,
): StarShape | undefined => {
  const radius = shapeRadius(fwhm);
  const stamps = chosen(stars, k, radius, full).map((star) => stampOf(star, k, radius, noise));
  if (stamps.length < FEWEST) return undefined;
  const shape = fitted(stamps, roundShape(fwhm));
  const width = fwhmOf(shape) / fwhm;
  const believed = width > WIDTHS[0] && width < WIDTHS[1] && shape.beta > BETAS[0] && shape.beta < BETAS[1];
  return believed ? shape : undefined;
};

const chosen = (stars: readonly Found[], k: number, radius: number, full: number | undefined): Found[] => {
  const large = stars.filter((star) => {
    if (star.radius < radius) return false;
    let most = Number.NEGATIVE_INFINITY;
    const [from, length] = [firstPixel(star, k), (2 * star.radius + 1) ** 2];
    for (const value of star.pixels.subarray(from, from + length)) {
      if (value - value !== 0) return false;
      if (value > most) most = value;
    }
    return full === undefined || most < BELOW_FULL * full;
  });
  const rising = [...large].sort((a, b) => b.snr - a.snr);
  const best: Found[] = [];
  for (const star of rising) {
    if (best.length === MOST) break;
    const alone = stars.every(
      (other) => other === star || Math.hypot(other.x - star.x, other.y - star.y) > ALONE * radius,
    );
    if (alone) best.push(star);
  }
  return best;
};

const stampOf = (star: Found, k: number, radius: number, noise: number): Stamp => {
  const side = 2 * star.radius + 1;
  const inner = 2 * radius + 1;
  const [dx, dy, values] = [new Float64Array(inner ** 2), new Float64Array(inner ** 2), new Float64Array(inner ** 2)];
  const shift = star.radius - radius;
  const from = firstPixel(star, k);
  for (let v = 0; v < inner; v++)
    for (let u = 0; u < inner; u++) {
      const i = v * inner + u;
      dx[i] = star.column - radius + u - star.x;
      dy[i] = star.row - radius + v - star.y;
      values[i] = star.pixels[from + (v + shift) * side + u + shift]!;
    }
  const middle = values.slice().sort()[values.length >> 1]!;
  const weights = values.map((value) => 1 / Math.hypot(noise, MODEL_ERROR * Math.max(0, value - middle)));
  return { dx, dy, values, weights };
};

/** Parameters that may take any value. */
const shapeWith = ([a, b, p, q]: readonly number[]): StarShape => ({
  alpha: Math.exp(a!),
  beta: Math.exp(b!) + 1.2,
  e1: 0.6 * Math.tanh(p!),
  e2: 0.6 * Math.tanh(q!),
});

/** Least squares with weights that fall for what fits badly (soft L1), peak and level of each star found on the way. Levenberg-Marquardt. */
const fitted = (stamps: readonly Stamp[], start: StarShape): StarShape => {
  let at = [Math.log(start.alpha), Math.log(start.beta - 1.2), 0, 0];
  let residuals = residualsOf(stamps, shapeWith(at));
  let cost = costOf(residuals);
  let damping = 1e-3;
  for (let round = 0; round < ROUNDS; round++) {
    const slopes = at.map((value, j) => {
      const step = 1e-4 * Math.max(1, Math.abs(value));
      const moved = residualsOf(stamps, shapeWith(at.with(j, value + step)));
      return moved.map((r, i) => (r - residuals[i]!) / step);
    });
    const weights = residuals.map((r) => 1 / Math.sqrt(1 + (r / SOFT) ** 2));
    const normal = slopes.map((a) => slopes.map((b) => weightedDot(a, b, weights)));
    const right = slopes.map((a) => -weightedDot(a, residuals, weights));
    let better = false;
    while (!better && damping < 1e6) {
      const damped = normal.map((row, i) => row.map((value, j) => (i === j ? value * (1 + damping) + 1e-12 : value)));
      const step = leastSquares(damped, right);
      const next = at.map((value, j) => value + step[j]!);
      const nextResiduals = residualsOf(stamps, shapeWith(next));
      const nextCost = costOf(nextResiduals);
      better = nextCost < cost;
      damping *= better ? 0.3 : 4;
      if (!better) continue;
      const gained = cost - nextCost;
      [at, residuals, cost] = [next, nextResiduals, nextCost];
      if (gained < 1e-7 * cost) return shapeWith(at);
    }
    if (!better) break;
  }
  return shapeWith(at);
};

/** Residuals of so many deviations are still trusted. */
const SOFT = 2;

const costOf = (residuals: Float64Array): number => {
  let sum = 0;
  for (const r of residuals) sum += Math.sqrt(1 + (r / SOFT) ** 2) - 1;
  return sum;
};

const weightedDot = (a: Float64Array, b: Float64Array, weights: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += weights[i]! * a[i]! * b[i]!;
  return sum;
};

/** What each star's best peak and level leave, in deviations. */
const residualsOf = (stamps: readonly Stamp[], shape: StarShape): Float64Array => {
  const all = new Float64Array(stamps.reduce((sum, { values }) => sum + values.length, 0));
  let at = 0;
  for (const { dx, dy, values, weights } of stamps) {
    let [pp, po, oo, pv, ov] = [1e-9, 0, 1e-9, 0, 0];
    const light = new Float64Array(values.length);
    for (let i = 0; i < values.length; i++) {
      const w = weights[i]!;
      const p = w * (1 + radiusSquared(shape, dx[i]!, dy[i]!)) ** -shape.beta;
      const y = w * values[i]!;
      light[i] = p;
      pp += p * p;
      po += p * w;
      oo += w * w;
      pv += p * y;
      ov += w * y;
    }
    const determinant = pp * oo - po * po;
    const peak = (pv * oo - ov * po) / determinant;
    const level = (ov * pp - pv * po) / determinant;
    for (let i = 0; i < values.length; i++)
      all[at++] = weights[i]! * values[i]! - peak * light[i]! - level * weights[i]!;
  }
  return all;
};
