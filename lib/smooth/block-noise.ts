import type { Samples } from '../plane/plane.ts';
import { MAD_TO_SIGMA } from '../plane/robust.ts';
import { quickMedian } from '../plane/select.ts';
import { firstOf, gridOf, NONE, type Operations } from './operations.ts';

/** Pixels around a block that its first two scales depend on. */
export const AROUND = 6;

/** A block of pixels whose neighbours are known too. */
export interface BlockNoise {
  /** Median of the picture smoothed twice, in units of the master. */
  readonly level: number;
  /** Noise of the first two scales: MAD about 0, as a standard deviation. */
  readonly first: number;
  readonly second: number;
}

/** Rows of a frame of which blocks are looked at. */
export interface BlockRows {
  readonly data: Samples;
  readonly width: number;
  readonly height: number;
  /** Rows [top, top + rows) are there. */
  readonly top: number;
  readonly rows: number;
}

/** Less than this share of a block with all neighbours defined says too little. */
const LEAST_KNOWN = 0.8;

/**
 * Measures square blocks of one size, one at a time. Pixels count whose neighbours up to `AROUND` are defined and in the
 * frame; a block with too few of them, or without noise, gives undefined.
 */
export const blockMeter = (operations: Operations, size: number) => {
  const side = Math.ceil((size + 2 * AROUND) / 4) * 4;
  const grid = gridOf(side, size + 2 * AROUND);
  const [whole, once, twice] = [0, grid.floats, 2 * grid.floats];
  const known = new Uint8Array(size * size);
  const values = {
    level: new Float32Array(size * size),
    first: new Float32Array(size * size),
    second: new Float32Array(size * size),
  };
  return (frame: BlockRows, left: number, top: number): BlockNoise | undefined => {
    const counted = markKnown(frame, left, top, size, known);
    if (counted < LEAST_KNOWN * size * size) return undefined;
    const memory = operations.memory(3 * grid.floats, `blocks ${size}`);
    const base = baseOf(frame, left, top, size);
    for (let r = 0; r < grid.height; r++)
      for (let x = 0; x < side; x++) {
        const value = valueAt(frame, left - AROUND + x, top - AROUND + r) - base;
        memory[firstOf(grid, whole) + r * grid.stride + x] = value - value === 0 ? value : 0;
      }
    operations.smooth(grid, whole, once, 1, NONE);
    operations.smooth(grid, once, twice, 2, NONE);
    let n = 0;
    for (let r = 0; r < size; r++)
      for (let x = 0; x < size; x++) {
        if (known[r * size + x] === 0) continue;
        const i = firstOf(grid, 0) + (r + AROUND) * grid.stride + x + AROUND;
        values.first[n] = Math.abs(memory[whole + i]! - memory[once + i]!);
        values.second[n] = Math.abs(memory[once + i]! - memory[twice + i]!);
        values.level[n++] = memory[twice + i]!;
      }
    const first = MAD_TO_SIGMA * quickMedian(values.first, n);
    const second = MAD_TO_SIGMA * quickMedian(values.second, n);
    return first > 0 ? { level: base + quickMedian(values.level, n), first, second } : undefined;
  };
};

const valueAt = ({ data, width, height, top, rows }: BlockRows, x: number, y: number): number =>
  x >= 0 && x < width && y >= top && y < top + rows && y < height ? data[(y - top) * width + x]! : Number.NaN;

/** A value near all others, so that float32 holds the differences. */
const baseOf = (frame: BlockRows, left: number, top: number, size: number): number => {
  for (let i = 0; i < size * size; i++) {
    const value = valueAt(frame, left + (i % size), top + Math.floor(i / size));
    if (value - value === 0) return value;
  }
  return 0;
};

/** Marks the pixels of a block whose neighbours are all defined; how many these are. */
const markKnown = (frame: BlockRows, left: number, top: number, size: number, known: Uint8Array): number => {
  known.fill(1);
  for (let y = top - AROUND; y < top + size + AROUND; y++)
    for (let x = left - AROUND; x < left + size + AROUND; x++) {
      const value = valueAt(frame, x, y);
      if (value - value === 0) continue;
      const [fromX, toX] = [Math.max(0, x - AROUND - left), Math.min(size, x + AROUND + 1 - left)];
      for (let r = Math.max(0, y - AROUND - top); r < Math.min(size, y + AROUND + 1 - top); r++)
        known.fill(0, r * size + fromX, r * size + Math.max(fromX, toX));
    }
  return known.reduce((sum, one) => sum + one, 0);
};
