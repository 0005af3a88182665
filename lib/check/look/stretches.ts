import { type CheckSizes, SQUARES, STRETCHES, stretchAt, stretchesOf } from '../sizes.ts';
import { indexIn, type LineRows } from './rows.ts';

/** A pixel is compared with those so many places beside it. */
const NEAR = 2;
const FAR = 3;
/** Differences count up to so many standard deviations. */
const MOST = 3;
/** Deviation of a pixel less the median of four, for noise of 1: the variance of a median is π/2 of a mean's. */
export const SPREAD = Math.sqrt(1 + Math.PI / 2 / 4);

/** Sums over the pixels of stretches of columns, or of rows, and how many they are. Stretch by stretch, then place by place. */
export interface StretchSums {
  readonly sums: Float32Array;
  readonly counts: Float32Array;
}

/** Numbers of the tiles of a piece, row by row. */
export interface Tiles {
  readonly across: number;
  readonly values: Float32Array;
}

/** The number of the tile of every column, for a row of the piece. */
export const tileRow = ({ across, values }: Tiles, sizes: CheckSizes, y: number, into: Float32Array): Float32Array => {
  const side = SQUARES * sizes.square;
  const down = Math.max(1, values.length / across);
  const first = Math.min(down - 1, Math.floor(y / side)) * across;
  for (let tile = 0; tile < across; tile++)
    into.fill(values[first + tile]!, tile * side, tile === across - 1 ? into.length : (tile + 1) * side);
  return into;
};

/** A pixel less the median of two on each side of it, in steps through the data. */
const standing = (data: Float32Array, i: number, step: number): number => {
  const a = data[i - FAR * step]!;
  const b = data[i - NEAR * step]!;
  const c = data[i + NEAR * step]!;
  const d = data[i + FAR * step]!;
  const least = Math.min(Math.min(a, b), Math.min(c, d));
  const most = Math.max(Math.max(a, b), Math.max(c, d));
  return data[i]! - (a + b + c + d - least - most) / 2;
};

/** Columns: sums over the rows of this piece that are looked at. `first` is the first stretch that it has part in. */
export const columnSums = (rows: LineRows, sizes: CheckSizes, noise: Tiles): StretchSums & { first: number } => {
  const { width, top, bottom, data } = rows;
  const { height } = sizes;
  const stretches = stretchesOf(height);
  const stretchOf = (y: number) => Math.min(STRETCHES - 1, Math.floor((y * STRETCHES) / height));
  const first = stretchOf(top);
  const size = (stretchOf(bottom - 1) - first + 1) * width;
  const [sums, counts] = [new Float32Array(size), new Float32Array(size)];
  const noises = new Float32Array(width);
  for (let y = top; y < bottom; y++) {
    const stretch = stretchAt(stretches, y);
    if (stretch === undefined) continue;
    tileRow(noise, sizes, y - top, noises);
    const at = (stretch - first) * width;
    const start = indexIn(rows, 0, y);
    for (let x = FAR; x < width - FAR; x++) {
      const value = standing(data, start + x, 1) / (SPREAD * noises[x]!);
      if (Number.isNaN(value)) continue;
      sums[at + x]! += Math.max(-MOST, Math.min(MOST, value));
      counts[at + x]!++;
    }
  }
  return { first, sums, counts };
};

/** The columns that are looked at, stretch by stretch. */
const columnsByStretch = (width: number): Uint32Array[] => {
  const stretches = stretchesOf(width);
  const columns: number[][] = Array.from({ length: STRETCHES }, () => []);
  for (let x = 0; x < width; x++) {
    const stretch = stretchAt(stretches, x);
    if (stretch !== undefined) columns[stretch]!.push(x);
  }
  return columns.map((of) => Uint32Array.from(of));
};

/** Rows of this piece: sums over the columns that are looked at. */
export const rowSums = (rows: LineRows, sizes: CheckSizes, noise: Tiles): StretchSums => {
  const { width, top, bottom, data } = rows;
  const columns = columnsByStretch(width);
  const high = bottom - top;
  const [sums, counts] = [new Float32Array(STRETCHES * high), new Float32Array(STRETCHES * high)];
  const noises = new Float32Array(width);
  for (let y = 0; y < high; y++) {
    tileRow(noise, sizes, y, noises);
    const start = indexIn(rows, 0, top + y);
    for (let stretch = 0; stretch < STRETCHES; stretch++) {
      const places = columns[stretch]!;
      let [sum, count] = [0, 0];
      for (let k = 0; k < places.length; k++) {
        const x = places[k]!;
        const value = standing(data, start + x, width) / (SPREAD * noises[x]!);
        if (Number.isNaN(value)) continue;
        sum = Math.fround(sum + Math.max(-MOST, Math.min(MOST, value)));
        count++;
      }
      sums[stretch * high + y] = sum;
      counts[stretch * high + y] = count;
    }
  }
  return { sums, counts };
};
