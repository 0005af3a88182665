import type { Plane } from '../plane/plane.ts';

/**
 * Weights, summing to 1, of a running mean with soft ends whose squares sum to `target` (0 < target ≤ 1): noise of
 * independent samples is multiplied by √target. An odd count, centred; [1] for 1.
 */
export const meanWeights = (target: number): number[] => {
  let reach = 0;
  while (1 / (2 * reach + 3) >= target) reach++;
  const whole = 2 * reach + 1;
  const squares = (end: number) => (whole + 2 * end * end) / (whole + 2 * end) ** 2;
  let low = 0;
  let high = 1;
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (squares(middle) > target) low = middle;
    else high = middle;
  }
  if (high < 1e-9) return Array.from({ length: whole }, () => 1 / whole);
  const sum = whole + 2 * high;
  return [high, ...Array.from({ length: whole }, () => 1), high].map((w) => w / sum);
};

/**
 * The plane with the noise that `factor` (≥ 1) times the hours would leave, bought with resolution instead of time:
 * every pixel becomes a mean of its surroundings that lowers independent noise by √factor. Shows how smooth the sky would
 * be, not what detail would appear; fine structure and stars are blurred, which more hours would not do. Noise that
 * neighbours share falls less. Undefined pixels stay so and are left out of the means.
 */
export const smoothAsHours = (plane: Plane, factor: number): Plane => {
  if (!(factor > 1)) return plane;
  const weights = meanWeights(1 / Math.sqrt(factor));
  const known = plane.data.map((v) => (v - v === 0 ? 1 : 0));
  const values = plane.data.map((v) => (v - v === 0 ? v : 0));
  const sums = bothWays(values, plane, weights);
  const shares = bothWays(known, plane, weights);
  return { ...plane, data: sums.map((sum, i) => (known[i] ? sum / shares[i]! : Number.NaN)) };
};

const bothWays = (data: Float32Array, { width, height }: Plane, weights: readonly number[]): Float32Array => {
  const across = alongAxis(data, width, height, 1, width, weights);
  return alongAxis(across, height, width, width, 1, weights);
};

/** Means along one axis: `count` lines of `length` samples, `step` apart; what lies outside counts as 0. */
const alongAxis = (
  data: Float32Array,
  length: number,
  count: number,
  step: number,
  pitch: number,
  weights: readonly number[],
): Float32Array => {
  const reach = (weights.length - 1) / 2;
  const out = new Float32Array(data.length);
  for (let n = 0; n < count; n++)
    for (let i = 0; i < length; i++) {
      let sum = 0;
      const first = Math.max(0, i - reach);
      const last = Math.min(length - 1, i + reach);
      for (let k = first; k <= last; k++) sum += weights[k - i + reach]! * data[n * pitch + k * step]!;
      out[n * pitch + i * step] = sum;
    }
  return out;
};
