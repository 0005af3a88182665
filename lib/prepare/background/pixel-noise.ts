import type { BlockGrid } from '../../plane/block-grid.ts';
import type { Box } from '../../plane/box.ts';
import type { Samples } from '../../plane/plane.ts';
import { median } from '../../plane/robust.ts';

/**
 * Noise from one pixel to the next, blind to whatever changes slowly: the mean magnitude of the difference of two
 * Laplacians, √(π/2)/6 · mean|4·x − 2·(edge neighbours) + (corner neighbours)|.
 * Source: J. Immerkær 1996, "Fast noise variance estimation", Computer Vision and Image Understanding 64:300.
 * Looks at the pixels of the box that have all eight neighbours in it, every `step`-th of them; NaN for none.
 */
export const laplacianNoise = (data: Samples, stride: number, box: Box, step = 1): number => {
  let sum = 0;
  let count = 0;
  for (let r = 1; r < box.height - 1; r += step)
    for (let c = 1; c < box.width - 1; c += step) {
      const i = r * stride + box.x + c;
      const above = i - stride;
      const below = i + stride;
      const edges = data[above]! + data[below]! + data[i - 1]! + data[i + 1]!;
      const corners = data[above - 1]! + data[above + 1]! + data[below - 1]! + data[below + 1]!;
      const d = 4 * data[i]! - 2 * edges + corners;
      if (d - d !== 0) continue;
      sum += Math.abs(d);
      count++;
    }
  return count === 0 ? Number.NaN : (Math.sqrt(Math.PI / 2) / 6) * (sum / count);
};

/** Pixel noise of the whole picture: the median over its blocks, so that stars do not count. NaN where none is known. */
export const pixelNoise = ({ blocks }: BlockGrid): number =>
  median(blocks.map((block) => block.pixelNoise).filter(Number.isFinite));
