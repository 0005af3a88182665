import type { Plane } from '../plane/plane.ts';
import type { Reading } from './ledger.ts';
import { normalDeviates } from './random.ts';
import type { SubLine } from './subs.ts';

/** Noise of a pixel by its value, in file units. */
export type NoiseByValue = (value: number) => number;

/**
 * Noise by value from readings at the background and, where one is known that is brighter and noisier, of a feature:
 * the variance of light rises in a straight line with it. Constant with the background alone, and below its value.
 */
export const noiseByValue = (background: Reading, feature?: Reading): NoiseByValue => {
  const base = background.noise ** 2;
  const rise = feature === undefined ? 0 : feature.value - background.value;
  const slope = rise > 0 ? Math.max(0, feature!.noise ** 2 - base) / rise : 0;
  return (value) => Math.sqrt(Math.max(0, base + slope * Math.max(0, value - background.value)));
};

/**
 * The plane as it would have been with `share` (0…1) of its hours: normal noise is added until the noise is that of
 * fewer hours, σ·√(1/share − 1) more. True to detail and stars, since noise can be added but not taken away.
 * Assumes that the noise of neighbours is independent. Undefined pixels stay so; the same seed gives the same picture.
 * @throws RangeError for a share outside (0, 1].
 */
export const withFewerHours = (plane: Plane, noise: NoiseByValue, share: number, seed = 1): Plane => {
  if (!(share > 0 && share <= 1)) throw new RangeError(`a share of hours is above 0 and at most 1, not ${share}`);
  if (share === 1) return plane;
  const normal = normalDeviates(seed);
  const more = Math.sqrt(1 / share - 1);
  return { ...plane, data: plane.data.map((v) => v + more * noise(v) * normal()) };
};

/**
 * Shares of today's hours, by line, from which today's picture is the same step ahead in noise as the future picture is
 * ahead of today's: spent / (spent + added). The picture with these shares beside today's shows truly what such a step
 * is worth, without inventing a picture that nobody has taken.
 */
export const sameStepBack = (lines: readonly Pick<SubLine, 'spent'>[], added: readonly number[]): number[] =>
  lines.map(({ spent }, i) => spent / (spent + added[i]!));
