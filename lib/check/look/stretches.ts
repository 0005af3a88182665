import { type CheckSizes, STRETCHES, stretchAt, stretchesOf, tileAt } from '../sizes.ts';
import { indexIn, type LineRows } from './rows.ts';

/** A pixel is compared with those so many places beside it. */
const NEAR = 2;
const FAR = 3;
/** Differences count up to so many standard deviations. */
const MOST = 3;
/** Variance of a pixel less the median of four, for noise of 1: π/2 of a mean's. */
export const SPREAD = Math.sqrt(1 + Math.PI / 2 / 4);

/** Sums over the pixels of stretches of columns, or of rows, and how many they are. Stretch by stretch, then place by place. */
export interface StretchSums {
  readonly sums: Float32Array;
  readonly counts: Float32Array;
}

/** How the pixels of a line stand out from those left and right of them, in units of the noise. */
const besideOf =
  ({ data }: LineRows, step: number) =>
  (i: number): number => {
    const [a, b] = [data[i - FAR * step]!, data[i - NEAR * step]!];
    const [c, d] = [data[i + NEAR * step]!, data[i + FAR * step]!];
    const middle = (a + b + c + d - Math.min(a, b, c, d) - Math.max(a, b, c, d)) / 2;
    return data[i]! - middle;
  };

const clipped = (value: number): number => Math.max(-MOST, Math.min(MOST, value));

/** What the noise of the tiles of a piece is, at a column. */
type NoiseAt = (x: number, y: number) => number;

export const noiseAtFor = (tiles: Float32Array, sizes: CheckSizes, top: number, tilesAcross: number): NoiseAt => {
  const down = Math.max(1, tiles.length / tilesAcross);
  return (x, y) => tiles[tileAt(y - top, sizes, down) * tilesAcross + tileAt(x, sizes, tilesAcross)]!;
};

/** Columns: sums over the rows of this piece that are looked at. `first` is the first stretch that it has part in. */
export const columnSums = (
  rows: LineRows,
  { height }: CheckSizes,
  noiseAt: NoiseAt,
): StretchSums & { first: number } => {
  const { width, top, bottom } = rows;
  const stretches = stretchesOf(height);
  const stretchOf = (y: number) => Math.min(STRETCHES - 1, Math.floor((y * STRETCHES) / height));
  const first = stretchOf(top);
  const size = (stretchOf(bottom - 1) - first + 1) * width;
  const sums = new Float32Array(size);
  const counts = new Float32Array(size);
  const beside = besideOf(rows, 1);
  for (let y = top; y < bottom; y++) {
    const stretch = stretchAt(stretches, y);
    if (stretch === undefined) continue;
    const at = (stretch - first) * width;
    for (let x = FAR; x < width - FAR; x++) {
      const value = beside(indexIn(rows, x, y)) / (SPREAD * noiseAt(x, y));
      if (Number.isNaN(value)) continue;
      sums[at + x]! += clipped(value);
      counts[at + x]!++;
    }
  }
  return { first, sums, counts };
};

/** Rows of this piece: sums over the columns that are looked at. */
export const rowSums = (rows: LineRows, _: CheckSizes, noiseAt: NoiseAt): StretchSums => {
  const { width, top, bottom } = rows;
  const stretches = stretchesOf(width);
  const high = bottom - top;
  const sums = new Float32Array(STRETCHES * high);
  const counts = new Float32Array(STRETCHES * high);
  const beside = besideOf(rows, width);
  for (let x = 0; x < width; x++) {
    const stretch = stretchAt(stretches, x);
    if (stretch === undefined) continue;
    for (let y = top; y < bottom; y++) {
      const value = beside(indexIn(rows, x, y)) / (SPREAD * noiseAt(x, y));
      if (Number.isNaN(value)) continue;
      sums[stretch * high + y - top]! += clipped(value);
      counts[stretch * high + y - top]!++;
    }
  }
  return { sums, counts };
};
