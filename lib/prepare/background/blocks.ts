import type { Block, BlockGrid, BlockLimits } from '../../plane/block-grid.ts';
import { type Box, boxWithin } from '../../plane/box.ts';
import { throwIfCancelled } from '../../plane/errors.ts';
import { hidePixels } from '../../plane/memory-plane.ts';
import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { clipSorted } from '../../plane/robust.ts';
import { createFloatSorter } from '../../plane/sort-floats.ts';
import { isWide, type StripOptions, samplesFor } from '../../plane/strips.ts';
import { laplacianNoise } from './pixel-noise.ts';

export interface BlockOptions extends StripOptions, BlockLimits {}

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
  const { include, exclude, mask, signal, progress } = options;
  const shared = options.executor?.blocks(source, { include, exclude, mask }, progress);
  if (shared !== undefined) return shared;
  const { width, height } = source;
  const size = blockSize(width, height);
  const seen = mask === undefined ? source : hidePixels(source, mask);
  const measure = blockRowMeasurer(source, options);
  const band = samplesFor(source, Math.min(size, height) * width);
  const blocks: Block[] = [];
  for (let y = 0; y < height; y += size) {
    throwIfCancelled(signal);
    const rows = Math.min(size, height - y);
    await seen.readRows(y, rows, band);
    blocks.push(...measure(band, y, rows));
    progress?.((y + rows) / height);
  }
  return { width, height, size, blocks };
};

/** A function that measures one row of blocks, given the rows of pixels that begin at a multiple of the block size. */
export const blockRowMeasurer = (source: Frame, limits: BlockLimits) => {
  const { width, height } = source;
  const size = blockSize(width, height);
  const allowed = new Uint8Array(Math.min(size, height) * width);
  const rising = risingValues(isWide(source), size);
  return (band: Samples, y: number, rows: number): Block[] => {
    const blocks: Block[] = [];
    allow(allowed, { x: 0, y, width, height: rows }, source, limits);
    for (let x = 0; x < width; x += size) {
      const box = { x, y, width: Math.min(size, width - x), height: rows };
      const block = measureBlock(band, allowed, width, box, rising);
      if (block !== undefined) blocks.push(block);
    }
    return blocks;
  };
};

/** Collects the blocks of rows that are given to it in order, the first at a multiple of the block size. */
export const collectBlocks = (source: Frame, limits: BlockLimits) => {
  const { width, height } = source;
  const size = blockSize(width, height);
  const measure = blockRowMeasurer(source, limits);
  const band = samplesFor(source, Math.min(size, height) * width);
  const blocks: Block[] = [];
  return {
    blocks,
    /** Takes whole rows [y, y + rows). */
    add(data: Samples, y: number, rows: number): void {
      for (let row = 0; row < rows; row++) {
        const within = (y + row) % size;
        band.set(data.subarray(row * width, (row + 1) * width), within * width);
        if (within === size - 1 || y + row === height - 1) blocks.push(...measure(band, y + row - within, within + 1));
      }
    },
  };
};

/** What must be known of a picture whose blocks are measured. */
type Frame = Pick<PlaneSource, 'width' | 'height' | 'type'>;

/** Writes 1 where boxes let a pixel of the band count, 0 elsewhere. */
const allow = (allowed: Uint8Array, band: Box, size: Frame, { include, exclude }: BlockLimits): void => {
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

const risingValues = (wide: boolean, size: number): Rising => {
  const most = Math.min(size, LOOKS) ** 2;
  if (wide) {
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
