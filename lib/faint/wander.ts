import type { Bins } from './bins.ts';
import { halved } from './bins.ts';
import { type Ground, octaveOf } from './octave.ts';
import { scalesUpTo } from './scales.ts';

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
    const flats = ground.light === 0 ? 0 : Math.sqrt(Math.max(0, octave.excess) / 2) / Math.abs(ground.light);
    const spread = rootMeanSquare(octave.z);
    found.push({ scale, spread, flats });
  }
  return found;
};

/** Of values that are known. */
const rootMeanSquare = (values: Float32Array): number => {
  let [squares, count] = [0, 0];
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    squares += value * value;
    count++;
  }
  return Math.sqrt(squares / count);
};
