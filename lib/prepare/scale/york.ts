import type { Line } from './line.ts';

const MOST_ROUNDS = 100;

/**
 * The best straight line where each coordinate of each point has a weight of its own, 1/variance, errors independent.
 * Source: D. York, N. M. Evensen, M. López Martínez & J. De Basabe Delgado 2004, American Journal of Physics 72:367,
 * equations 13a–d, starting from `start`.
 */
export const york = (
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  wx: ArrayLike<number>,
  wy: ArrayLike<number>,
  start: number,
): Line => {
  let slope = start;
  for (let round = 0; ; round++) {
    const b = slope;
    const w = Float64Array.from(x, (_, i) => (wx[i]! * wy[i]!) / (wx[i]! + b * b * wy[i]!));
    const total = sum(w, () => 1);
    const mx = sum(w, (i) => x[i]!) / total;
    const my = sum(w, (i) => y[i]!) / total;
    const beta = w.map((v, i) => v * ((x[i]! - mx) / wy[i]! + (b * (y[i]! - my)) / wx[i]!));
    slope = sum(w, (i) => beta[i]! * (y[i]! - my)) / sum(w, (i) => beta[i]! * (x[i]! - mx));
    if (round === MOST_ROUNDS || Math.abs(slope - b) <= 1e-15 * Math.abs(slope))
      return { slope, intercept: my - slope * mx };
  }
};

const sum = (w: Float64Array, value: (i: number) => number): number => w.reduce((s, v, i) => s + v * value(i), 0);
