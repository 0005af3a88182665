import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import { createScratch } from '../../plane/scratch.ts';
import { upperMedian } from '../../plane/select.ts';
import { blurredDifference } from './blur.ts';
import { gaussKernel } from './gauss.ts';
import { BLOCK, type FindTile } from './tile.ts';

/** Blocks with less than this share of defined pixels say nothing of the noise. */
const LEAST_DEFINED = 0.25;
/** Every second pixel of a block, both ways, is looked at: neighbours go together. */
const EVERY = 2;
/** How much wider the second kernel of a difference of Gaussians is. */
export const WIDER = 1.6;

/** How far each pixel of a tile stands out as a point would, in units of the noise around it: of each line, and of all. */
export interface Responses {
  readonly lines: readonly Float32Array[];
  readonly all: Float32Array;
}

/** @param deviation of the stars' discs in pixels, full width at half maximum / 2.355 */
export const responsesOf = (
  { lines, defined, width, height }: FindTile,
  deviation: number,
  scratch = createScratch(),
): Responses => {
  const size = { width, height };
  const [narrow, wide] = [gaussKernel(deviation), gaussKernel(WIDER * deviation)];
  const all = scratch.zeros('all', width * height);
  const each = lines.map((line, k) => {
    const response = scratch.floats(`response ${k}`, width * height);
    blurredDifference(line, size, [narrow, wide], response);
    divideByNoise(response, defined, width, height);
    add(all, response);
    return response;
  });
  const scale = 1 / Math.sqrt(lines.length);
  for (let i = 0; i < all.length; i++) all[i]! *= scale;
  return { lines: each, all };
};

const add = (to: Float32Array, values: Float32Array): void => {
  for (let i = 0; i < to.length; i++) to[i]! += values[i]!;
};

/** Divides by the spread of the blocks around each pixel, linearly between their centres. */
const divideByNoise = (values: Float32Array, defined: Uint8Array, width: number, height: number): void => {
  const [across, down] = [Math.ceil(width / BLOCK), Math.ceil(height / BLOCK)];
  const spreads = spreadsOf(values, defined, { width, height, across, down });
  const columns = betweenBlocks(width, across);
  const rows = betweenBlocks(height, down);
  const row = new Float64Array(across + 1);
  for (let y = 0; y < height; y++) {
    const above = rows.first[y]! * across;
    const below = Math.min(down - 1, rows.first[y]! + 1) * across;
    for (let i = 0; i < across; i++) row[i] = blend(spreads[above + i]!, spreads[below + i]!, rows.part[y]!);
    row[across] = row[across - 1]!;
    divideRow(values, y * width, row, columns);
  }
};

const divideRow = (values: Float32Array, at: number, spreads: Float64Array, { first, part }: BetweenBlocks): void => {
  for (let x = 0; x < first.length; x++) {
    const block = first[x]!;
    values[at + x]! /= blend(spreads[block]!, spreads[block + 1]!, part[x]!);
  }
};

/** For each pixel: the first of the two blocks whose centres it lies between, and how far it is on the way. */
interface BetweenBlocks {
  readonly first: Int32Array;
  readonly part: Float64Array;
}

const betweenBlocks = (pixels: number, blocks: number): BetweenBlocks => {
  const part = Float64Array.from({ length: pixels }, (_, i) =>
    Math.max(0, Math.min(blocks - 1, (i + 0.5) / BLOCK - 0.5)),
  );
  const first = Int32Array.from(part, Math.floor);
  return { first, part: part.map((at, i) => at - first[i]!) };
};

const blend = (a: number, b: number, part: number): number => a + (b - a) * part;

/** The spread of each block about 0; one that is hardly defined, or shows none, gets the median of the others. */
const spreadsOf = (
  values: Float32Array,
  defined: Uint8Array,
  { width, height, across, down }: { width: number; height: number; across: number; down: number },
): Float64Array => {
  const spreads = new Float64Array(across * down).fill(Number.NaN);
  const sample = new Float32Array((BLOCK / EVERY) ** 2);
  for (let j = 0; j < down; j++)
    for (let i = 0; i < across; i++) {
      let [count, looked] = [0, 0];
      for (let y = j * BLOCK; y < Math.min(height, (j + 1) * BLOCK); y += EVERY)
        for (let x = i * BLOCK; x < Math.min(width, (i + 1) * BLOCK); x += EVERY) {
          looked++;
          if (defined[y * width + x] === 1) sample[count++] = Math.abs(values[y * width + x]!);
        }
      if (count >= LEAST_DEFINED * looked) spreads[j * across + i] = MAD_TO_SIGMA * upperMedian(sample, count);
    }
  const known = spreads.filter((spread) => spread > 0);
  const usual = known.length > 0 ? upperMedian(known) : Number.POSITIVE_INFINITY;
  return spreads.map((spread) => (spread > 0 ? spread : usual));
};
