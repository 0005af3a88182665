import type { Box } from '../plane/box.ts';
import type { Samples } from '../plane/plane.ts';

/**
 * |I ∗ (1 −2 1; −2 4 −2; 1 −2 1)| wherever the mask fits into the box: any plane passes without a trace, independent
 * noise of deviation σ comes out with 6σ. `step` spreads the mask to every step-th pixel: noise that direct neighbours
 * share shows only there. `stride` is the width of `data`. Empty where the mask does not fit.
 */
const laplacians = (data: Samples, stride: number, box: Box, step: number): Float64Array => {
  const across = Math.max(0, box.width - 2 * step);
  const down = Math.max(0, box.height - 2 * step);
  const out = new Float64Array(across * down);
  let n = 0;
  for (let y = box.y + step; y < box.y + step + down; y++) {
    const row = y * stride;
    const above = row - step * stride;
    const below = row + step * stride;
    for (let x = box.x + step; x < box.x + step + across; x++) {
      const edges = data[row + x - step]! + data[row + x + step]! + data[above + x]! + data[below + x]!;
      const corners =
        data[above + x - step]! + data[above + x + step]! + data[below + x - step]! + data[below + x + step]!;
      out[n++] = Math.abs(4 * data[row + x]! - 2 * edges + corners);
    }
  }
  return out;
};

/** Noise for a mean of absolute Laplacians: √(π/2)/6 times it. */
const MEAN_TO_SIGMA = Math.sqrt(Math.PI / 2) / 6;

const meanBelow = (values: Float64Array, limit: number): number => {
  let sum = 0;
  let count = 0;
  for (const v of values)
    if (!(v > limit)) {
      sum += v;
      count++;
    }
  return sum / count;
};

/**
 * Noise of a box, every pixel counted. NaN where a value is not finite or the mask does not fit.
 * Source: J. Immerkær, Fast noise variance estimation, CVIU 64(2) 300–302, 1996 (step 1).
 */
export const immerkaer = (data: Samples, stride: number, box: Box, step = 1): number => {
  const noise = MEAN_TO_SIGMA * meanBelow(laplacians(data, stride, box, step), Number.POSITIVE_INFINITY);
  return Number.isFinite(noise) ? noise : Number.NaN;
};

const CLIP = 3;
/** Mean of |z| over all, over the mean of those below 3, z standard normal: erf(3/√2) / (1 − e^(−9/2)). */
const CLIPPED_TO_ALL = 0.9973002039367398 / (1 - Math.exp(-4.5));
const MOST_ROUNDS = 20;

/**
 * Noise of a box without what stands out: as `immerkaer`, but Laplacians beyond 3 of their standard deviations, such as
 * those of stars, are left out until nothing more changes, and the mean of the rest is corrected for the missing tail.
 */
export const clippedNoise = (data: Samples, stride: number, box: Box, step = 1): number => {
  const values = laplacians(data, stride, box, step);
  let noise = MEAN_TO_SIGMA * meanBelow(values, Number.POSITIVE_INFINITY);
  if (!Number.isFinite(noise)) return Number.NaN;
  for (let round = 0; round < MOST_ROUNDS && noise > 0; round++) {
    const next = MEAN_TO_SIGMA * CLIPPED_TO_ALL * meanBelow(values, CLIP * 6 * noise);
    if (Math.abs(next - noise) < 1e-4 * noise) break;
    noise = next;
  }
  return noise;
};
