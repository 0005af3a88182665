import { createMask, type Mask } from '../plane/mask.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { eachStrip, isWide, type StripOptions } from '../plane/strips.ts';
import { firstCounts, passesFor } from './passes.ts';
import { type Emptiness, emptinessOf } from './remnants.ts';

/** Share of the picture above which zeros connected to the border count as missing data. */
export const BORDER_SHARE = 0.001;

/** A winding region needs several sweeps; real borders need two or three. */
const MAX_SWEEPS = 64;

/**
 * Marks the zeros that are connected (by edges) to the border of the picture, if together they cover more than 0.1 % of
 * it: stacking rotated nights leaves such wedges. In float pictures what resampling leaves of a zero counts as well:
 * values below 2⁻³⁰ of the picture's brightness, with hardly anything between them and 2⁻²⁰ of it, as no sky around zero
 * has it. Undefined where there is no such region.
 * Memory: two bits a pixel, where there are as many zeros at all.
 */
export const borderZeros = async (source: PlaneSource, options: StripOptions = {}): Promise<Mask | undefined> => {
  const enough = BORDER_SHARE * source.width * source.height;
  const { limit, count } = await emptyIn(source, options);
  if (count <= enough) return undefined;
  const empty = createMask(source.width, source.height);
  await eachStrip(source, (data, y) => markEmpty(empty, data, y, limit), options);
  const reached = createMask(source.width, source.height);
  const total = flood(empty, reached);
  return total > enough ? reached : undefined;
};

/** First counts of wide types are made about a pedestal, which hides zeros: those are counted again. */
const emptyIn = async (source: PlaneSource, options: StripOptions): Promise<Emptiness> => {
  const counts = isWide(source)
    ? await passesFor({ source, mask: undefined, pedestal: 0 }, options).upper()
    : await firstCounts(source, options);
  return source.type.startsWith('f') ? emptinessOf(counts) : { limit: 0, count: counts.zeros };
};

/** The marked pixels that are connected (by edges, through marked ones) to the border of the picture. */
export const connectedToBorder = (marked: Mask): Mask => {
  const reached = createMask(marked.width, marked.height);
  flood(marked, reached);
  return reached;
};

/** Marks zeros and values below the limit in magnitude. */
const markEmpty = (mask: Mask, data: Samples, y: number, limit: number): void => {
  for (let i = 0; i < data.length; i++) {
    if (data[i] !== 0 && !(Math.abs(data[i]!) < limit)) continue;
    const x = i % mask.width;
    mask.bits[(y + (i - x) / mask.width) * mask.stride + (x >> 3)]! |= 1 << (x & 7);
  }
};

/** Sweeps down and up until nothing is added; returns how many pixels are reached. */
const flood = (zero: Mask, reached: Mask): number => {
  let total = 0;
  for (let sweep = 0; sweep < MAX_SWEEPS; sweep++) {
    const down = sweep % 2 === 0;
    let added = 0;
    for (let i = 0; i < zero.height; i++) added += floodRow(zero, reached, down ? i : zero.height - 1 - i);
    total += added;
    if (added === 0 && sweep > 0) break;
  }
  return total;
};

/** Spreads along one row from the border, from both neighbouring rows and from what the row reached before. */
const floodRow = (zero: Mask, reached: Mask, y: number): number => {
  const { width, height, stride } = zero;
  const row = y * stride;
  const edge = y === 0 || y === height - 1;
  let added = 0;
  const spread = (from: number, to: number, step: number) => {
    let open = true; // outside the picture counts as reached
    for (let x = from; x !== to; x += step) {
      const at = row + (x >> 3);
      const bit = 1 << (x & 7);
      if (!(zero.bits[at]! & bit)) {
        open = false;
        continue;
      }
      if (reached.bits[at]! & bit) {
        open = true;
        continue;
      }
      open ||= edge || (reached.bits[at - stride]! & bit) !== 0 || (reached.bits[at + stride]! & bit) !== 0;
      if (!open) continue;
      reached.bits[at]! |= bit;
      added++;
    }
  };
  spread(0, width, 1);
  spread(width - 1, -1, -1);
  return added;
};
