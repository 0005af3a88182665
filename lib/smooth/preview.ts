import type { LineNoise, Smoothing } from './noise-model.ts';

/** The noise of a copy that is `by` times smaller by area mean. */
const shrunkNoise = ({ level, variance, perCount, neighbours: r }: LineNoise, by: number): LineNoise => {
  // Variance along an axis of the mean of `by` pixels whose neighbours correlate by r.
  const v = (1 + (2 * r * (by - 1)) / by) / by;
  return { level, variance: variance * v * v, perCount: perCount * v * v, neighbours: r / by / (by * v) };
};

/**
 * How a copy is smoothed that is `by` times smaller than the frame that the numbers belong to: structure of a scale lies
 * log₂(by) scales lower in it, and what fell into its pixels is averaged already. No scale is left of a copy that is small
 * enough.
 */
export const smallerSmoothing = (smoothing: Smoothing, by: number): Smoothing =>
  by <= 1
    ? smoothing
    : {
        ...smoothing,
        scales: Math.max(0, smoothing.scales - Math.log2(by)),
        noise: smoothing.noise.map((noise) => shrunkNoise(noise, by)),
      };
