import type { BlockGrid } from '../../plane/block-grid.ts';
import type { Box } from '../../plane/box.ts';
import { boxWithin } from '../../plane/box.ts';
import { inputError } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { clipSorted, median } from '../../plane/robust.ts';
import { samplesFor } from '../../plane/strips.ts';

/** Where a picture's background lies and how much it scatters there. */
export interface Background {
  readonly level: number;
  readonly noise: number;
}

/** Share of the blocks that are taken for the darkest. */
const DARKEST = 0.05;

/**
 * Level and noise of the darkest 5 % of blocks (one at least): medians of their levels and of their noise.
 * Undefined for a grid without blocks.
 */
export const darkBlocks = ({ blocks }: BlockGrid): Background | undefined => {
  const rising = [...blocks].sort((a, b) => a.level - b.level);
  const darkest = rising.slice(0, Math.max(1, Math.round(DARKEST * rising.length)));
  if (rising.length === 0) return undefined;
  return { level: median(darkest.map((b) => b.level)), noise: median(darkest.map((b) => b.noise)) };
};

/**
 * Level and noise (3σ-clipped median and standard deviation) of the defined pixels of a box.
 * @throws LinewashError 'input' where the box holds none.
 */
export const boxBackground = async (source: PlaneSource, wanted: Box): Promise<Background> => {
  const box = boxWithin(wanted, source);
  const values = new Float64Array(box.width * box.height);
  const row = samplesFor(source, source.width);
  let count = 0;
  for (let y = box.y; y < box.y + box.height; y++) {
    await source.readRows(y, 1, row);
    for (let x = box.x; x < box.x + box.width; x++) if (Number.isFinite(row[x])) values[count++] = row[x]!;
  }
  if (count === 0)
    throw inputError(
      `the background box at ${wanted.x},${wanted.y} (${wanted.width} × ${wanted.height}) holds no data`,
      'choose a box inside the picture, where all masters have data',
      source.file,
    );
  return clipSorted(values.subarray(0, count).sort());
};
