import { leastSquares } from '../../plane/least-squares.ts';
import { MAD_TO_SIGMA, median } from '../../plane/robust.ts';
import { acrossStrip, type Strip } from './strip.ts';

/** Parts of a line whose places across it are compared. */
const PARTS = 8;
/** Rows that a part needs, and parts that a line needs. */
const LEAST_ROWS = 4;
const LEAST_PARTS = 4;

/** How far the light of a line's parts lies from one straight line, in pixels. */
export interface Straightness {
  /** Scatter about a straight line. */
  readonly bend: number;
  /** Height of the arc that they lie on. */
  readonly bow: number;
}

/** How straight the part [from, to) of a strip is. One part may lie wrong: a star or a knot is there. */
export const straightnessOf = (strip: Strip, sign: number, width: number, from: number, to: number): Straightness => {
  const places: number[] = [];
  for (let part = 0; part < PARTS; part++) {
    const start = from + Math.floor((part * (to - from)) / PARTS);
    const end = from + Math.floor(((part + 1) * (to - from)) / PARTS);
    if (end - start >= LEAST_ROWS) places.push(peakOf(strip, sign, width, start, end));
  }
  if (places.length < LEAST_PARTS) return { bend: 0, bow: 0 };
  const at = places.map((_, i) => i / (places.length - 1));
  let best: Straightness | undefined;
  for (let left = -1; left < places.length; left++) {
    const kept = [...places.keys()].filter((i) => i !== left);
    const found = fitted(
      kept.map((i) => at[i]!),
      kept.map((i) => places[i]!),
    );
    if (best === undefined || found.bend + found.bow < best.bend + best.bow) best = found;
  }
  return best!;
};

const fitted = (at: readonly number[], places: readonly number[]): Straightness => {
  const [level, slope] = leastSquares(
    at.map((u) => [1, u]),
    places,
  ) as [number, number];
  const arc = leastSquares(
    at.map((u) => [1, u, u * u]),
    places,
  )[2]!;
  const off = places.map((place, i) => Math.abs(place - level - slope * at[i]!));
  return { bend: MAD_TO_SIGMA * median(off), bow: Math.abs(arc) / 4 };
};

/** Where across the strip a part is brightest, to a fraction of a pixel. */
const peakOf = (strip: Strip, sign: number, width: number, from: number, to: number): number => {
  const { light, weight } = acrossStrip(strip, from, to);
  const profile = light.map((sum, k) => (sign * sum) / Math.max(1, weight[k]!));
  const wide = Math.max(3, width);
  const before = wide >> 1;
  const shift = (wide - 1) / 2 - before;
  const smooth = profile.map((_, k) => {
    let sum = 0;
    for (let j = k - before; j < k - before + wide; j++) sum += profile[j] ?? 0;
    return sum;
  });
  const reach = Math.min(strip.half - 1, Math.max(3, Math.floor(0.75 * width + 1)));
  let peak = strip.half;
  for (let k = strip.half - reach; k <= strip.half + reach; k++) if (smooth[k]! > smooth[peak]!) peak = k;
  const [a, b, c] = [smooth[peak - 1]!, smooth[peak]!, smooth[peak + 1]!];
  const curvature = a - 2 * b + c;
  return peak - strip.half + shift + (curvature < 0 ? (0.5 * (a - c)) / curvature : 0);
};
