import type { Samples } from '../../plane/plane.ts';
import { createScratch } from '../../plane/scratch.ts';
import { upperMedian } from '../../plane/select.ts';

/** Blocks whose spread stands for the noise around them lie at multiples of this in the frame. */
export const BLOCK = 32;

/** A part of the frame in memory, all lines of it; its place is a multiple of `BLOCK`. */
export interface FindTile {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** The part that stars are found in, in pixels of the tile: what lies around it is only looked at. */
  readonly core: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
  /** One for each line; what any of them lacks holds the median of its row of blocks. */
  readonly lines: readonly Float32Array[];
  /** 1 where all lines are defined. */
  readonly defined: Uint8Array;
}

/** Rows of the frame, all columns, of each line. */
export interface FindRows {
  readonly width: number;
  readonly top: number;
  readonly rows: number;
  readonly lines: readonly Samples[];
}

/** Cuts columns [left, left + width) out of rows. */
export const tileOf = (
  from: FindRows,
  { left, width }: Pick<FindTile, 'left' | 'width'>,
  core: FindTile['core'],
  scratch = createScratch(),
): FindTile => {
  const defined = scratch.bytes('defined', width * from.rows).fill(1);
  const lines = from.lines.map((line, k) => {
    const values = scratch.floats(`line ${k}`, width * from.rows);
    for (let r = 0; r < from.rows; r++)
      values.set(line.subarray(r * from.width + left, r * from.width + left + width), r * width);
    markUndefined(values, defined);
    return values;
  });
  if (defined.includes(0)) for (const values of lines) coverUndefined(values, defined, width);
  return { left, top: from.top, width, height: from.rows, core, lines, defined };
};

const markUndefined = (values: Float32Array, defined: Uint8Array): void => {
  for (let i = 0; i < values.length; i++) if (values[i]! - values[i]! !== 0) defined[i] = 0;
};

/** Every so many pixels of the rows of a block are looked at for their median. */
const EVERY = 7;

/** Gives undefined pixels a value that makes no great edge towards what lies near: the median of the rows of a block. */
const coverUndefined = (values: Float32Array, defined: Uint8Array, width: number): void => {
  const step = BLOCK * width;
  const known = new Float32Array(Math.ceil(step / EVERY));
  let last = 0;
  for (let start = 0; start < values.length; start += step) {
    const end = Math.min(values.length, start + step);
    if (!defined.subarray(start, end).includes(0)) continue;
    let count = 0;
    for (let i = start; i < end; i += EVERY) if (defined[i] === 1) known[count++] = values[i]!;
    if (count > 0) last = upperMedian(known, count);
    for (let i = start; i < end; i++) if (defined[i] === 0) values[i] = last;
  }
};
