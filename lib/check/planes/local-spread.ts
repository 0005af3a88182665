import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import type { Size } from './blur.ts';

/** Side of the blocks whose spread is taken, about. */
const BLOCK = 32;
/** Share of a block that must count. */
const LEAST = 0.25;
/** Spread of a flat block. */
const FLAT = 1e-12;

/** Numbers on a grid of blocks that covers a plane evenly. */
export interface Grid {
  readonly across: number;
  readonly down: number;
  readonly values: Float64Array;
}

/** Spread of a plane about its median in blocks of about 32 × 32, over values of weight above a half; 1 where there is none. */
export const spreadGrid = (values: Float32Array, weights: Float32Array, size: Size): Grid => {
  const across = Math.max(1, Math.round(size.width / BLOCK));
  const down = Math.max(1, Math.round(size.height / BLOCK));
  const grid = { across, down, values: new Float64Array(across * down) };
  const some = new Float32Array(Math.ceil(size.width / across + 1) * Math.ceil(size.height / down + 1));
  for (let r = 0; r < down; r++)
    for (let c = 0; c < across; c++) {
      const [left, right] = [Math.floor((c * size.width) / across), Math.floor(((c + 1) * size.width) / across)];
      const [top, bottom] = [Math.floor((r * size.height) / down), Math.floor(((r + 1) * size.height) / down)];
      let count = 0;
      for (let y = top; y < bottom; y++)
        for (let x = left, i = y * size.width + left; x < right; x++, i++)
          if (weights[i]! > 0.5) some[count++] = values[i]!;
      const enough = count > LEAST * (right - left) * (bottom - top);
      grid.values[r * across + c] = enough ? Math.max(FLAT, spreadOf(some, count)) : Number.NaN;
    }
  return fillGrid(grid);
};

/** 1.4826 × the median distance from the median; reorders the values. */
const spreadOf = (some: Float32Array, count: number): number => {
  const middle = upperMedian(some, count);
  for (let i = 0; i < count; i++) some[i] = Math.abs(some[i]! - middle);
  return MAD_TO_SIGMA * upperMedian(some, count);
};

/** Gives blocks without a number that of the nearest that has one; 1 where none has. */
export const fillGrid = ({ across, down, values }: Grid): Grid => {
  const known = [...values.keys()].filter((i) => !Number.isNaN(values[i]!));
  const filled = values.map((value, i) => {
    if (!Number.isNaN(value)) return value;
    const far = (k: number) =>
      ((k % across) - (i % across)) ** 2 + (Math.floor(k / across) - Math.floor(i / across)) ** 2;
    let nearest = -1;
    for (const k of known) if (nearest < 0 || far(k) < far(nearest)) nearest = k;
    return nearest < 0 ? 1 : values[nearest]!;
  });
  return { across, down, values: filled };
};

/** Where a place lies between the middles of blocks. */
const between = (at: number, length: number, blocks: number) => {
  const place = Math.max(0, Math.min(blocks - 1, ((at + 0.5) * blocks) / length - 0.5));
  const before = Math.min(Math.max(0, blocks - 2), Math.floor(place));
  return { before, after: Math.min(blocks - 1, before + 1), share: place - before };
};

/** Calls `visit` with the number of the grid at every pixel, linear between the middles of blocks. */
export const eachInGrid = (
  { across, down, values }: Grid,
  size: Size,
  visit: (i: number, value: number) => void,
): void => {
  const columns = Array.from({ length: size.width }, (_, x) => between(x, size.width, across));
  const line = new Float64Array(across);
  for (let y = 0; y < size.height; y++) {
    const { before, after, share } = between(y, size.height, down);
    for (let c = 0; c < across; c++)
      line[c] = values[before * across + c]! * (1 - share) + values[after * across + c]! * share;
    for (let x = 0, i = y * size.width; x < size.width; x++, i++) {
      const at = columns[x]!;
      visit(i, line[at.before]! * (1 - at.share) + line[at.after]! * at.share);
    }
  }
};

/** The number of the grid at one place. */
export const gridAt = ({ across, down, values }: Grid, size: Size, x: number, y: number): number => {
  const [h, v] = [between(x, size.width, across), between(y, size.height, down)];
  const row = (r: number) => values[r * across + h.before]! * (1 - h.share) + values[r * across + h.after]! * h.share;
  return row(v.before) * (1 - v.share) + row(v.after) * v.share;
};
