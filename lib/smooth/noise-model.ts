import type { LineNoise } from '../plane/line-noise.ts';

export type { LineNoise } from '../plane/line-noise.ts';

/** How lines are smoothed: numbers alone, so that any thread can do it. */
export interface Smoothing {
  /** 0…1: how much of what is found to be noise is taken away. */
  readonly strength: number;
  /** 0…6; of a number that is not whole, the last scale counts by the fraction. */
  readonly scales: number;
  /** The noise of each member of the group. */
  readonly noise: readonly LineNoise[];
  /** Which member guides the others. */
  readonly guide: number;
  /** Which members are smoothed. */
  readonly lines: readonly number[];
}

/** Weights of the smoothing kernel, over 16 (B₃ spline). */
const TAPS = [1, 4, 6, 4, 1] as const;

/** Scales that are computed: the last may count by a fraction. */
export const wholeScales = (scales: number): number => Math.max(0, Math.ceil(scales - 1e-9));

/** How often every second pixel is kept before a scale is computed. */
export const halvingsBefore = (scale: number): number => Math.max(0, scale - 1);

/** The step between the taps of a scale, in pixels that are kept. */
export const stepOf = (scale: number): number => (scale === 0 ? 1 : 2);

/** Pixels on each side that a smoothed pixel depends on: 10, 23, 49, 101, 205 for 2 to 6 scales. */
export const reachOfScales = (scales: number): number => {
  const count = wholeScales(scales);
  if (count === 0) return 0;
  // The smooth plane of the last scale, the mean around it, and the kept pixels that others lie between.
  const last = 1 << (count - 1);
  return 2 * (2 * last - 1) + 2 * last + (1 << halvingsBefore(count - 1)) - 1;
};

/** The one-dimensional kernels of the smooth planes 0 … scales: plane 0 is the picture itself. */
const planeKernels = (scales: number): Float64Array[] => {
  const middle = 2 * (1 << scales);
  const first = new Float64Array(2 * middle + 1);
  first[middle] = 1;
  const kernels = [first];
  for (let j = 0; j < scales; j++) {
    const before = kernels[j]!;
    const next = new Float64Array(before.length);
    for (let i = 0; i < next.length; i++)
      for (let t = 0; t < 5; t++) next[i]! += ((before[i + (t - 2) * (1 << j)] ?? 0) * TAPS[t]!) / 16;
    kernels.push(next);
  }
  return kernels;
};

/** aᵀRb for the correlation 1, r, 0, 0 … along an axis. */
const product = (a: Float64Array, b: Float64Array, r: number): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * (b[i]! + r * ((b[i - 1] ?? 0) + (b[i + 1] ?? 0)));
  return sum;
};

/**
 * Deviation of each scale 0 … scales − 1 for noise whose pixels have the deviation 1 and whose direct neighbours correlate
 * by r: f² = (hⱼᵀRhⱼ)² − 2(hⱼᵀRhⱼ₊₁)² + (hⱼ₊₁ᵀRhⱼ₊₁)². White noise: 0.8908, 0.2007, 0.0855, 0.0412 …
 */
export const scaleDeviations = (scales: number, r: number): number[] => {
  const kernels = planeKernels(scales);
  return Array.from({ length: scales }, (_, j) => {
    const [fine, coarse] = [kernels[j]!, kernels[j + 1]!];
    const variance = product(fine, fine, r) ** 2 - 2 * product(fine, coarse, r) ** 2 + product(coarse, coarse, r) ** 2;
    return Math.sqrt(variance);
  });
};

/**
 * The share of a pixel's deviation that smoothing leaves where it finds nothing but noise: x less `strength` of all scales
 * is (1 − strength) · x + strength · (its smooth plane), so the share follows from the kernels alone.
 */
export const noiseLeft = (scales: number, r: number, strength: number): number => {
  const kernels = planeKernels(wholeScales(scales));
  const [pixel, coarse] = [kernels[0]!, kernels.at(-1)!];
  const [own, both, rest] = [
    product(pixel, pixel, r) ** 2,
    product(pixel, coarse, r) ** 2,
    product(coarse, coarse, r) ** 2,
  ];
  return Math.sqrt((1 - strength) ** 2 * own + 2 * strength * (1 - strength) * both + strength ** 2 * rest);
};
