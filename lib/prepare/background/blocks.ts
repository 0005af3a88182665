import { type Box, boxWithin } from '../../plane/box.ts';
import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { clipSorted } from '../../plane/robust.ts';
import { createFloatSorter } from '../../plane/sort-floats.ts';
import { type StripOptions, samplesFor } from '../../plane/strips.ts';
import { laplacianNoise } from './pixel-noise.ts';

/** One square of the picture and what its defined pixels hold. Values are physical. */
export interface Block {
  /** Mean position of the pixels looked at, in pixels from the centre of the top left one. */
  readonly x: number;
  readonly y: number;
  /** Pixels looked at. */
  readonly count: number;
  /** Median and standard deviation after clipping at 3 sigma. */
  readonly level: number;
  readonly noise: number;
  /** Noise from one pixel to the next; NaN where no pixel has all its neighbours. */
  readonly pixelNoise: number;
}

export interface BlockGrid {
  readonly width: number;
  readonly height: number;
  /** Side of a block in pixels. */
  readonly size: number;
  /** The blocks that hold enough, row by row. */
  readonly blocks: readonly Block[];
}

export interface BlockOptions extends StripOptions {
  /** Where pixels may come from; everywhere where absent. */
  readonly include?: readonly Box[] | undefined;
  /** Where none may come from. */
  readonly exclude?: readonly Box[] | undefined;
}

/** About so many blocks describe a picture, whatever its size. */
const BLOCKS = 2048;
/** A block looks at no more than the square of this many pixels, evenly spread: more would add time, not certainty. */
const LOOKS = 64;
/** Fewer pixels than this say nothing about a level. */
const FEWEST = 16;

export const blockSize = (width: number, height: number): number =>
  Math.min(128, Math.max(16, Math.floor(Math.sqrt((width * height) / BLOCKS))));

/**
 * Levels and noise of all blocks, in one pass; memory holds one row of blocks.
 * A block counts if half of it (of the part that the boxes allow) is defined, and at least 16 pixels.
 */
export const measureBlocks = async (source: PlaneSource, options: BlockOptions = {}): Promise<BlockGrid> => {
  const { width, height } = source;
  const size = blockSize(width, height);
  const band = samplesFor(source, Math.min(size, height) * width);
  const allowed = new Uint8Array(Math.min(size, height) * width);
  const rising = risingValues(band, size);
  const blocks: Block[] = [];
  for (let y = 0; y < height; y += size) {
    throwIfCancelled(options.signal);
    const rows = Math.min(size, height - y);
    await source.readRows(y, rows, band);
    allow(allowed, { x: 0, y, width, height: rows }, source, options);
    for (let x = 0; x < width; x += size) {
      const box = { x, y, width: Math.min(size, width - x), height: rows };
      const block = measureBlock(band, allowed, width, box, rising);
      if (block !== undefined) blocks.push(block);
    }
    options.progress?.((y + rows) / height);
  }
  return { width, height, size, blocks };
};

/** Writes 1 where boxes let a pixel of the band count, 0 elsewhere. */
const allow = (allowed: Uint8Array, band: Box, size: PlaneSource, { include, exclude }: BlockOptions): void => {
  const fill = (boxes: readonly Box[], value: number) => {
    for (const box of boxes) {
      const { x, y, width, height } = boxWithin(box, size);
      const bottom = Math.min(y + height, band.y + band.height);
      for (let row = Math.max(y, band.y); row < bottom; row++) {
        const start = (row - band.y) * band.width + x;
        allowed.fill(value, start, start + width);
      }
    }
  };
  allowed.fill(include === undefined ? 1 : 0);
  fill(include ?? [], 1);
  fill(exclude ?? [], 0);
};

/** Room for the values of one block, and what puts the first `count` of them in rising order. */
interface Rising {
  readonly values: Samples;
  sorted(count: number): Samples;
}

const risingValues = (band: Samples, size: number): Rising => {
  const most = Math.min(size, LOOKS) ** 2;
  if (band instanceof Float64Array) {
    const values = new Float64Array(most);
    return { values, sorted: (count) => values.subarray(0, count).sort() };
  }
  const values = new Float32Array(most);
  const sort = createFloatSorter(most);
  return {
    values,
    sorted(count) {
      const part = values.subarray(0, count);
      sort(part);
      return part;
    },
  };
};

const measureBlock = (
  band: Samples,
  allowed: Uint8Array,
  stride: number,
  box: Box,
  { values, sorted }: Rising,
): Block | undefined => {
  const step = Math.ceil(Math.max(box.width, box.height) / LOOKS);
  let open = 0;
  let count = 0;
  let sumX = 0;
  let sumY = 0;
  for (let r = 0; r < box.height; r += step)
    for (let c = 0; c < box.width; c += step) {
      const at = r * stride + box.x + c;
      if (allowed[at] === 0) continue;
      open++;
      const value = band[at]!;
      if (value - value !== 0) continue;
      values[count++] = value;
      sumX += c;
      sumY += r;
    }
  if (count < FEWEST || 2 * count < open) return undefined;
  const { level, noise } = clipSorted(sorted(count));
  const pixelNoise = laplacianNoise(band, stride, box, step);
  return { x: box.x + sumX / count, y: box.y + sumY / count, count, level, noise, pixelNoise };
};
