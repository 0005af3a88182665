import type { Bins } from './bins.ts';
import { halved } from './bins.ts';
import { scalesUpTo } from './map.ts';
import { type Ground, type Octave, octaveOf } from './octave.ts';

/** What two masters of a line tell of their flats at one scale. */
export interface Wander {
  readonly scale: number;
  /** Standard deviation of z of their difference: 1 where nothing but noise tells them apart. */
  readonly spread: number;
  /** Part of the light that the flats of one master leave uncorrected; 0 where the spread is 1 or less. */
  readonly flats: number;
}

/** A spread of fewer bins says nothing. */
const FEWEST = 200;

/**
 * The wander of the difference of two masters, scale by scale, from the difference's bins, stars masked. Flats that leave the
 * same pattern in both masters do not show: turn or move the camera between them.
 * @param ground of the difference; `light` is that of one master
 */
export const wanderOf = (first: Bins, ground: Ground, largest: number): Wander[] => {
  const found: Wander[] = [];
  let bins = first;
  for (const scale of scalesUpTo(largest)) {
    if (scale > 2 * bins.size) bins = halved(bins);
    const octave = octaveOf(bins, ground);
    if (octave.known < FEWEST) continue;
    const { spread, excess } = spreadOf(octave);
    const flats = ground.light === 0 ? 0 : Math.sqrt(Math.max(0, excess) / 2) / Math.abs(ground.light);
    found.push({ scale, spread, flats });
  }
  return found;
};

/** Root mean square of z, and how much the mean square of the difference exceeds that of noise. */
const spreadOf = ({ z, deviation, known }: Octave): { spread: number; excess: number } => {
  let [squares, excess] = [0, 0];
  for (let i = 0; i < z.length; i++) {
    const noise = deviation[i]!;
    if (noise === 0) continue;
    squares += z[i]! ** 2;
    excess += (z[i]! ** 2 - 1) * noise ** 2;
  }
  return { spread: Math.sqrt(squares / known), excess: excess / known };
};
