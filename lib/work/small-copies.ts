import { memoAsync, type Remembered } from '../plane/memo.ts';
import { planeSource } from '../plane/memory-plane.ts';
import type { Plane, PlaneSource } from '../plane/plane.ts';
import { type Size, shrink } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Zeros } from './open-lines.ts';

/** Longest side of the copy that smaller ones are made from: that of the picture on screen. */
export const MIDDLE = 1600;

/** A master at full size, and in small. */
export interface MasterSources {
  /** Full-size rows, border zeros hidden or not. */
  source(zeros: Zeros, options?: StripOptions): Promise<PlaneSource>;
  /** A copy whose longer side is at most `longest` pixels, in memory. */
  small(zeros: Zeros, longest: number, options?: StripOptions): Promise<PlaneSource>;
}

/**
 * Small copies of a source, each made once.
 * @param middle makes the copy that smaller ones are made from, where somebody else does it sooner
 */
export const smallCopies = (
  { width, height }: Size,
  source: MasterSources['source'],
  middle: (from: PlaneSource, options: StripOptions) => Promise<Plane> = (from, options) =>
    shrink(from, MIDDLE, options),
): MasterSources['small'] => {
  const smaller: Remembered<PlaneSource> = memoAsync(async (key, options) => {
    const [zeros, longest] = key.split(' ') as [Zeros, string];
    const side = Number(longest);
    // The smallest pictures are made from a small one: no further journey through the file.
    const large = side < MIDDLE && Math.max(width, height) > MIDDLE;
    const from = await (large ? smaller(`${zeros} ${MIDDLE}`, options) : source(zeros, options));
    const plane = await (side === MIDDLE ? middle(from, options) : shrink(from, side, options));
    return planeSource(from.file, plane, from.facts);
  });
  return (zeros, longest, options = {}) => smaller(`${zeros} ${longest}`, options);
};
