import { quickMedian } from '../plane/select.ts';
import { type Shade, shadeAt } from '../prepare/background/shade.ts';
import { framePosition } from '../prepare/background/surface.ts';
import { type Bins, halved } from './bins.ts';

/** Side in pixels of the squares whose means are compared. */
const SQUARE = 32;

/**
 * Takes out of bins what lies where another picture of the frame leaves the sky: in squares of 32 pixels, and those beside them,
 * whose mean is further than `most` from the median of all. Both pictures have bins of one size.
 */
export const maskBright = (bins: Bins, other: Bins, most: number): void => {
  let coarse = other;
  while (coarse.size < SQUARE) coarse = halved(coarse);
  const means = Float64Array.from(coarse.sums, (sum, i) => sum / coarse.counts[i]!);
  const sky = quickMedian(means.filter((mean) => mean - mean === 0));
  const far = (x: number, y: number) =>
    x >= 0 && y >= 0 && x < coarse.width && y < coarse.height && Math.abs(means[y * coarse.width + x]! - sky) > most;
  const by = coarse.size / bins.size;
  for (let y = 0; y < coarse.height; y++)
    for (let x = 0; x < coarse.width; x++) {
      const beside = NEIGHBOURS.some(([dx, dy]) => far(x + dx, y + dy));
      if (beside) clear(bins, x * by, y * by, by);
    }
};

const NEIGHBOURS = [-1, 0, 1].flatMap((dy) => [-1, 0, 1].map((dx) => [dx, dy] as const));

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
