import type { PlaneSource } from '../plane/plane.ts';
import { type LineNoise, noiseLeft } from './noise-model.ts';
import { smallerSmoothing } from './preview.ts';
import { smoothedMembers } from './smoothed-lines.ts';

/** Noise is told from structure over so many scales: up to 16 pixels. */
export const LONGER_SCALES = 4;

/** The strength of smoothing, 0…1, that leaves this share of the noise of a pixel where only noise shows; 1 where less cannot be left. */
export const strengthLeaving = (share: number, scales: number, neighbours: number): number => {
  let [low, high] = [0, 1];
  for (let round = 0; round < 50; round++) {
    const middle = (low + high) / 2;
    if (noiseLeft(scales, neighbours, middle) > share) low = middle;
    else high = middle;
  }
  return high;
};

/**
 * A line with its noise scaled to what a longer exposure would leave: x less a part of what the smoothing, guided by the
 * line itself, takes for noise. An estimate. Structure that the noise hides is scaled down with the noise, where more hours
 * would bring it out; and noise upon structure that stands out is left, where more hours would lower it: both make the
 * picture poorer than the real one, not richer. Undefined pixels stay so.
 * @param share of the noise of a pixel, 0…1: √(t / (t + n)) for n hours after t
 * @param noise of the line at full size
 * @param by by how much the source is smaller than the full size
 */
export const longerExposed = (source: PlaneSource, noise: LineNoise, share: number, by = 1): PlaneSource => {
  const whole = { strength: 1, scales: LONGER_SCALES, noise: [noise], guide: 0, lines: [0] };
  const smoothing = smallerSmoothing(whole, by);
  if (!(share < 1) || smoothing.scales <= 0) return source;
  const strength = strengthLeaving(share, smoothing.scales, smoothing.noise[0]!.neighbours);
  return smoothedMembers([source], { ...smoothing, strength })[0]!;
};
