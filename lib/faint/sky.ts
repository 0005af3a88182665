import { quickMedian } from '../plane/select.ts';
import { type Shade, shadeAt } from '../prepare/background/shade.ts';
import { framePosition } from '../prepare/background/surface.ts';
import { type Bins, halved } from './bins.ts';
import { widened } from './widen.ts';

/** Side in pixels of the squares whose means are compared. */
const SQUARE = 32;

/** What stands out by more than this part of the light of the sky is no sky: nebula, whose scale differs between masters. */
export const BRIGHT = 0.02;

/** Squares of a frame, row by row: 1 for those whose mean leaves the sky. */
export interface FarSquares {
  /** Side in pixels. */
  readonly size: number;
  readonly width: number;
  readonly height: number;
  readonly marks: Uint8Array;
}

/** Squares of 32 pixels, and those beside them, whose mean is further than `most` from the median of all. */
export const farFromSky = (bins: Bins, most: number): FarSquares => {
  let coarse = bins;
  while (coarse.size < SQUARE) coarse = halved(coarse);
  const { size, width, height, sums, counts } = coarse;
  const means = Float64Array.from(sums, (sum, i) => sum / counts[i]!);
  const sky = quickMedian(means.filter((mean) => mean - mean === 0));
  const far = Uint8Array.from(means, (mean) => Number(Math.abs(mean - sky) > most));
  return { size, width, height, marks: widened({ width, height, marks: far }, 1) };
};

/** Takes squares of a frame out of bins. */
export const maskSquares = (bins: Bins, { size, width, height, marks }: FarSquares): void => {
  const by = size / bins.size;
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) if (marks[i] === 1) clear(bins, x * by, y * by, by);
};

/** Empties a square of bins. */
const clear = ({ width, height, sums, counts }: Bins, x: number, y: number, side: number): void => {
  const right = Math.min(width, x + side);
  for (let v = y; v < Math.min(height, y + side); v++) {
    sums.fill(0, v * width + x, v * width + right);
    counts.fill(0, v * width + x, v * width + right);
  }
};

/** Takes out of bins what lay in the shadow of something at an edge, as if it had no data: how deep it was is not known well enough. */
export const maskShade = ({ width, height, sums, counts, covered }: Bins, shade: Shade): void => {
  for (let y = 0, i = 0; y < height; y++) {
    const v = framePosition(y, height);
    if (v < shade.top || v > shade.bottom) {
      i += width;
      continue;
    }
    for (let x = 0; x < width; x++, i++)
      if (shadeAt(shade, framePosition(x, width), v) !== 0) {
        sums[i] = 0;
        counts[i] = 0;
        covered[i] = 0;
      }
  }
};
