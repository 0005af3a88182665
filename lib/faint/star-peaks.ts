import type { LineNoise } from '../plane/line-noise.ts';
import type { Samples } from '../plane/plane.ts';
import { createScratch } from '../plane/scratch.ts';
import { blurredBy } from '../stars/find/blur.ts';
import { gaussKernel, gaussReach } from '../stars/find/gauss.ts';
import type { Ground } from './octave.ts';

/** Places that may be stars: compact maxima of one line. */
export interface Peaks {
  /** Pixels of the frame. */
  readonly x: number[];
  readonly y: number[];
  /** Smoothed value there, and the value of the pixel, above the level. */
  readonly smoothed: number[];
  readonly value: number[];
}

export const noPeaks = (): Peaks => ({ x: [], y: [], smoothed: [], value: [] });

/** Full width at half maximum of a Gaussian over its deviation. */
const FWHM_OVER_DEVIATION = 2 * Math.sqrt(2 * Math.LN2);
/** A maximum of so many pixels on each side. */
const AROUND = 2;
/** Maxima that stand out by less than this many deviations from a ring around them are let go at once. */
const FIRST_LOOK = 3;
/** Columns that are smoothed at once. */
const TILE_COLUMNS = 2000;

export const discDeviation = (fwhm: number): number => fwhm / FWHM_OVER_DEVIATION;

/** Rows and columns around a place that its maximum depends on. */
export const peakReach = (fwhm: number): number => gaussReach(discDeviation(fwhm)) + Math.max(AROUND, ringOf(fwhm));

/** Distance of the ring that a maximum is first compared with. */
const ringOf = (fwhm: number): number => Math.ceil(1.5 * fwhm);

/** Noise of one pixel smoothed by a Gaussian, over that of the pixel, neighbours sharing nothing. */
export const smoothedNoise = (deviation: number): number => 1 / (2 * Math.sqrt(Math.PI) * deviation);

/** Rows of a frame in memory. */
export interface Rows {
  readonly data: Samples;
  readonly width: number;
  /** The first of them in the frame, and how many there are. */
  readonly top: number;
  readonly rows: number;
}

/**
 * Finds maxima of the smoothed line in rows [first, last) of the frame. What they are is told later, when the whole frame
 * is binned: see `starDiscs`.
 */
export const findPeaks = (
  { data, width, top, rows }: Rows,
  [first, last]: readonly [first: number, last: number],
  { noise, level }: Pick<Ground, 'noise' | 'level'>,
  fwhm: number,
  into: Peaks,
  room = createScratch(),
): void => {
  const halo = peakReach(fwhm);
  const kernel = gaussKernel(discDeviation(fwhm));
  const least = FIRST_LOOK * smoothedNoise(discDeviation(fwhm)) * Math.sqrt(noise.variance);
  for (let x0 = 0; x0 < width; x0 += TILE_COLUMNS) {
    const x1 = Math.min(width, x0 + TILE_COLUMNS);
    const left = Math.max(0, x0 - halo);
    const tile = { width: Math.min(width, x1 + halo) - left, height: rows };
    const values = room.floats('values', tile.width * rows);
    const smooth = room.floats('smooth', tile.width * rows);
    for (let y = 0, i = 0; y < rows; y++)
      for (let x = 0, from = y * width + left; x < tile.width; x++, from++, i++) {
        const value = data[from]! - level;
        values[i] = value - value === 0 ? value : 0;
      }
    blurredBy(values, tile, [kernel], [smooth]);
    const core = { x0: x0 - left, x1: x1 - left, y0: first - top, y1: last - top };
    for (const at of maximaOf(smooth, tile, core, least, ringOf(fwhm))) {
      into.x.push(left + (at % tile.width));
      into.y.push(top + Math.floor(at / tile.width));
      into.smoothed.push(smooth[at]!);
      into.value.push(values[at]!);
    }
  }
};

interface Tile {
  readonly width: number;
  readonly height: number;
}

/** Indices of local maxima that stand out from a ring around them by at least so much. */
const maximaOf = (
  values: Float32Array,
  { width, height }: Tile,
  { x0, x1, y0, y1 }: { x0: number; x1: number; y0: number; y1: number },
  least: number,
  ring: number,
): number[] => {
  const found: number[] = [];
  for (let y = y0; y < y1; y++)
    for (let x = x0; x < x1; x++) {
      const i = y * width + x;
      const value = values[i]!;
      // Most pixels are told apart by their neighbours in the row.
      if (x > 0 && values[i - 1]! > value) continue;
      if (x + 1 < width && values[i + 1]! > value) continue;
      if (!isMaximum(values, { width, height }, x, y)) continue;
      if (value - ringMean(values, { width, height }, x, y, ring) >= least) found.push(i);
    }
  return found;
};

const isMaximum = (values: Float32Array, { width, height }: Tile, x: number, y: number): boolean => {
  const value = values[y * width + x]!;
  for (let v = Math.max(0, y - AROUND); v <= Math.min(height - 1, y + AROUND); v++)
    for (let u = Math.max(0, x - AROUND); u <= Math.min(width - 1, x + AROUND); u++)
      if (values[v * width + u]! > value) return false;
  return true;
};

/** The mean of four places at a distance, those beyond the border left out. */
const ringMean = (values: Float32Array, { width, height }: Tile, x: number, y: number, distance: number): number => {
  let [sum, count] = [0, 0];
  for (const [dx, dy] of SIDES) {
    const [u, v] = [x + dx * distance, y + dy * distance];
    if (u < 0 || v < 0 || u >= width || v >= height) continue;
    sum += values[v * width + u]!;
    count++;
  }
  return count === 0 ? 0 : sum / count;
};

const SIDES = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
] as const;

/** Noise of a pixel of the line at a height above the level that was subtracted. */
export const noiseAt = ({ variance, perCount, level }: LineNoise, value: number): number =>
  Math.sqrt(variance + perCount * Math.max(0, value - level));
