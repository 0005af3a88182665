import { addRows, type Bins, emptyBins } from '../../lib/faint/bins.ts';
import type { Ground } from '../../lib/faint/octave.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { normals } from '../smooth/fields.ts';

/** Noise of deviation 1 about 0, and what it is told from. */
export const WHITE: Ground = {
  noise: { level: 0, variance: 1, perCount: 0, neighbours: 0 },
  level: 0,
  light: 0,
};

/** A plane of noise of deviation 1, with light added by place. */
export const noisy = (
  width: number,
  height: number,
  seed: number,
  light: (x: number, y: number) => number = () => 0,
): Float32Array => {
  const normal = normals(seed);
  return Float32Array.from({ length: width * height }, (_, i) => normal() + light(i % width, Math.floor(i / width)));
};

export const binsOf = (data: Float32Array, width: number): Bins => {
  const height = data.length / width;
  const bins = emptyBins(width, height);
  addRows(bins, data, width, 0, height, 0);
  return bins;
};

export const lineOf = (data: Float32Array, width: number) => ({
  name: 'O',
  source: planeSource('O.fits', { width, height: data.length / width, data }),
});

/** A disc with a soft edge, 1 inside. */
export const disc =
  (cx: number, cy: number, diameter: number) =>
  (x: number, y: number): number =>
    1 / (1 + Math.exp((Math.hypot(x - cx, y - cy) - diameter / 2) / Math.max(0.5, 0.06 * diameter)));
