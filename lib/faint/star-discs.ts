import { blurred } from '../stars/find/blur.ts';
import { gaussKernel } from '../stars/find/gauss.ts';
import { USUAL_BETA } from '../stars/shape.ts';
import { type Bins, halved } from './bins.ts';
import { areaNoise, type Ground } from './octave.ts';
import { discDeviation, noiseAt, type Peaks, smoothedNoise } from './star-peaks.ts';

/** Places that are masked. */
export interface Disc {
  readonly x: number;
  readonly y: number;
  /** In pixels. */
  readonly radius: number;
}

/** A star stands out by so many deviations at its own width, and more than at a width so many times larger. */
const LEAST_SIGNIFICANCE = 5;
const LARGER = 3.4;
/** Two bright stars side by side are wider than one: from this significance on so much of it is enough. */
const BRIGHT = 50;
const PAIR = 0.5;
/** What lies around a place is told from a Gaussian so many times wider. */
const AROUND = 4;
/** Noise of a difference of Gaussians 1 : 4 is about that of the narrow one alone, times this. */
const DIFFERENCE = 0.9;
/** Stars are masked as far as their light exceeds this part of the noise, within these distances in pixels. */
const FAINTEST = 0.02;
const NEAREST = 4;
const FARTHEST = 80;

/**
 * The discs of compact maxima: significance, by a difference of Gaussians 1 : 4, above 5 at the width of a star and above that
 * (above 50, half of that) at 3.4 times the width. A disc ends where the light of a star of that peak, a Moffat profile of β = 2.8, falls to .02 σ.
 */
export const starDiscs = (peaks: Peaks, bins: Bins, ground: Ground, fwhm: number): Disc[] => {
  const deviation = discDeviation(fwhm);
  const at = coarseMeans(
    halved(bins),
    peaks,
    [AROUND, LARGER, LARGER * AROUND].map((times) => times * deviation),
  );
  const alpha = fwhm / (2 * Math.sqrt(2 ** (1 / USUAL_BETA) - 1));
  const sigma = Math.sqrt(ground.noise.variance);
  const discs: Disc[] = [];
  for (let i = 0; i < peaks.x.length; i++) {
    const [around, larger, farther] = at.map((means) => means[i]!) as [number, number, number];
    const noise = DIFFERENCE * areaNoise(ground.noise) * noiseAt(ground.noise, around + ground.level);
    const own = (peaks.smoothed[i]! - around) / (noise * smoothedNoise(deviation));
    const wider = (larger - farther) / (noise * smoothedNoise(LARGER * deviation));
    if (own <= LEAST_SIGNIFICANCE || own <= wider * (own > BRIGHT ? PAIR : 1)) continue;
    const height = Math.max(1, peaks.value[i]! / sigma);
    const radius = Math.ceil(alpha * Math.sqrt((height / FAINTEST) ** (1 / USUAL_BETA) - 1));
    discs.push({ x: peaks.x[i]!, y: peaks.y[i]!, radius: Math.min(FARTHEST, Math.max(NEAREST, radius)) });
  }
  return discs;
};

/** The frame smoothed by Gaussians of these deviations in pixels, at each peak. */
const coarseMeans = (bins: Bins, peaks: Peaks, deviations: readonly number[]): number[][] => {
  const { size, width, height } = bins;
  const means = new Float32Array(width * height);
  for (let i = 0; i < means.length; i++) means[i] = bins.sums[i]! / size ** 2;
  return deviations.map((deviation) => {
    // Bins have smoothed already, as a box does.
    const rest = Math.sqrt(Math.max(0.25, deviation ** 2 - (size ** 2 - 1) / 12)) / size;
    const smooth = blurred(means, { width, height }, gaussKernel(rest));
    return peaks.x.map((x, i) =>
      between(smooth, width, height, (x + 0.5) / size - 0.5, (peaks.y[i]! + 0.5) / size - 0.5),
    );
  });
};

/** A value between the centres of bins. */
export const between = (values: Float32Array, width: number, height: number, x: number, y: number): number => {
  const [u, v] = [Math.max(0, Math.min(width - 1, x)), Math.max(0, Math.min(height - 1, y))];
  const [left, top] = [
    Math.min(Math.max(0, width - 2), Math.floor(u)),
    Math.min(Math.max(0, height - 2), Math.floor(v)),
  ];
  const [right, below] = [Math.min(width - 1, left + 1), Math.min(height - 1, top + 1)];
  const [p, q] = [u - left, v - top];
  const row = (y: number) => values[y * width + left]! * (1 - p) + values[y * width + right]! * p;
  return row(top) * (1 - q) + row(below) * q;
};

/** Takes the pixels of discs out of bins, whole bins at a time. */
export const maskDiscs = (bins: Bins, discs: readonly Disc[]): void => {
  const { size, width, height, sums, counts } = bins;
  for (const { x, y, radius } of discs) {
    const [cx, cy] = [(x + 0.5) / size - 0.5, (y + 0.5) / size - 0.5];
    // A bin is taken out with any of its pixels.
    const reach = radius / size + Math.SQRT1_2;
    for (let v = Math.max(0, Math.ceil(cy - reach)); v <= Math.min(height - 1, cy + reach); v++)
      for (let u = Math.max(0, Math.ceil(cx - reach)); u <= Math.min(width - 1, cx + reach); u++) {
        if ((u - cx) ** 2 + (v - cy) ** 2 > reach ** 2) continue;
        sums[v * width + u] = 0;
        counts[v * width + u] = 0;
      }
  }
};
