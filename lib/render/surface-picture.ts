import type { BlockGrid } from '../plane/block-grid.ts';
import type { SurfaceFit } from '../prepare/background/fit.ts';
import { framePosition, surfaceAt } from '../prepare/background/surface.ts';
import type { Picture } from './picture.ts';

/** Longer side of the picture in pixels, roughly. */
const LONGEST = 480;
/** Colour of the frame around blocks that were rejected. */
const REJECTED = [222, 140, 48] as const;

/**
 * A picture of a background surface, 8-bit RGB: the surface as grey, black and white at its ends, and in each block a
 * square with the level that was measured there on the same scale. Where the squares vanish, surface and sky agree;
 * rejected blocks have an orange frame; blocks without data, or outside the boxes, have no square.
 */
export const surfacePicture = (grid: BlockGrid, { surface, used }: SurfaceFit): Picture => {
  const columns = Math.ceil(grid.width / grid.size);
  const rows = Math.ceil(grid.height / grid.size);
  const cell = Math.max(6, Math.round(LONGEST / Math.max(columns, rows)));
  const [width, height] = [columns * cell, rows * cell];
  const data = new Uint8Array(width * height * 3);
  const at = (x: number, y: number) => surfaceAt(surface, framePosition(x, grid.width), framePosition(y, grid.height));
  const toPixel = (p: number) => ((p + 0.5) * grid.size) / cell - 0.5;
  const values = new Float64Array(width * height);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) values[y * width + x] = at(toPixel(x), toPixel(y));
  const grey = greyScale(values);
  for (let i = 0; i < values.length; i++) data.fill(grey(values[i]!), 3 * i, 3 * i + 3);
  const level = meanDifference(grid, used, at);
  const inset = Math.max(1, Math.floor(cell / 4));
  for (const [k, block] of grid.blocks.entries()) {
    const left = Math.floor(block.x / grid.size) * cell + inset;
    const top = Math.floor(block.y / grid.size) * cell + inset;
    const side = cell - 2 * inset;
    const value = grey(block.level - level);
    for (let r = 0; r < side; r++)
      for (let c = 0; c < side; c++) {
        const edge = r === 0 || c === 0 || r === side - 1 || c === side - 1;
        const colour = edge && !used[k] ? REJECTED : [value, value, value];
        data.set(colour, 3 * ((top + r) * width + left + c));
      }
  }
  return { width, height, bands: 3, data };
};

/** From the least to the greatest value: 24 to 231, so that squares beyond either end still show. */
const greyScale = (values: Float64Array): ((v: number) => number) => {
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const range = high > low ? high - low : 1;
  return (v) => Math.round(Math.min(255, Math.max(0, 24 + (207 * (v - low)) / range)));
};

const meanDifference = (
  { blocks }: BlockGrid,
  used: readonly boolean[],
  at: (x: number, y: number) => number,
): number => {
  const chosen = blocks.filter((_, k) => used[k]);
  return chosen.reduce((sum, { x, y, level }) => sum + (level - at(x, y)) / chosen.length, 0);
};
