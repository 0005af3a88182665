import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import { type CheckSizes, SQUARES } from '../sizes.ts';
import { indexIn, type LineRows } from './rows.ts';

/** Pixels of a square that are looked at, in each direction. */
const LOOKS = 8;

/** Noise and level of squares, row by row; NaN where pixels are missing or there is no noise. */
export interface SquareNoise {
  readonly noise: Float32Array;
  readonly level: Float32Array;
}

/**
 * Noise of squares: the median size of second differences [1 −2 1; −2 4 −2; 1 −2 1]/6, which neither a level nor slopes
 * change and whose weights give white noise its own deviation.
 */
export const squareNoise = (rows: LineRows, { square }: Pick<CheckSizes, 'square'>): SquareNoise => {
  const { width, top, bottom } = rows;
  const across = Math.floor(width / square);
  const down = Math.floor((bottom - top) / square);
  const noise = new Float32Array(across * down);
  const level = new Float32Array(across * down);
  const looks = createLooks(rows, square);
  for (let r = 0; r < down; r++)
    for (let c = 0; c < across; c++) {
      const found = looks(c * square, top + r * square);
      noise[r * across + c] = found.noise > 0 ? found.noise : Number.NaN;
      level[r * across + c] = found.level;
    }
  return { noise, level };
};

const createLooks = (rows: LineRows, square: number) => {
  const { width, data } = rows;
  const sizes = new Float32Array(LOOKS * LOOKS);
  const values = new Float32Array(LOOKS * LOOKS);
  const steps = Int32Array.from({ length: LOOKS }, (_, i) => Math.floor(((i + 0.5) * square) / LOOKS));
  return (left: number, top: number): { noise: number; level: number } => {
    let count = 0;
    for (let r = 0; r < LOOKS; r++)
      for (let c = 0; c < LOOKS; c++) {
        const x = left + steps[c]!;
        if (x === 0 || x === width - 1) continue;
        const i = indexIn(rows, x, top + steps[r]!);
        const up = i - width;
        const down = i + width;
        const beside = data[up]! + data[down]! + data[i - 1]! + data[i + 1]!;
        const corners = data[up - 1]! + data[up + 1]! + data[down - 1]! + data[down + 1]!;
        const second = (corners - 2 * beside + 4 * data[i]!) / 6;
        if (Number.isNaN(second)) continue;
        sizes[count] = Math.abs(second);
        values[count++] = data[i]!;
      }
    if (count < sizes.length / 2) return { noise: Number.NaN, level: Number.NaN };
    return { noise: MAD_TO_SIGMA * upperMedian(sizes, count), level: upperMedian(values, count) };
  };
};

/** The median noise of each tile of squares, row by row; NaN where a tile has none. */
export const tileNoise = ({ noise }: SquareNoise, across: number): Float32Array => {
  const down = noise.length / Math.max(1, across);
  const tiles = new Float32Array(Math.ceil(across / SQUARES) * Math.ceil(down / SQUARES));
  const some = new Float32Array(SQUARES * SQUARES);
  const perRow = Math.ceil(across / SQUARES);
  for (let t = 0; t < tiles.length; t++) {
    const [left, top] = [SQUARES * (t % perRow), SQUARES * Math.floor(t / perRow)];
    let count = 0;
    for (let r = top; r < Math.min(down, top + SQUARES); r++)
      for (let c = left; c < Math.min(across, left + SQUARES); c++) {
        const value = noise[r * across + c]!;
        if (value > 0) some[count++] = value;
      }
    tiles[t] = upperMedian(some, count);
  }
  return tiles;
};
