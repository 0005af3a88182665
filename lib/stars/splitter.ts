import type { Samples } from '../plane/plane.ts';
import { FARTHEST, type LineLight, lightOf } from './model.ts';
import { radiusAt } from './shape.ts';
import type { StarLine, StarList, Window } from './star-list.ts';

/** Where the light of stars is so many times the noise, its error may be as large as the noise: what lies under it is filled in. */
export const FILLED_FROM = 20;
/** Stars fill from where their own light is half of that: two that overlap may reach it together. */
const FILLS_FROM = FILLED_FROM / 2;
/** Nothing is taken below what lies around stars where their light is so many times the noise. */
export const GUARDED_FROM = 3;
/** Stars of fainter peaks, in units of the noise, cannot leave a hole. */
const GUARDED_PEAK = 10;
/** How far around a star the lowest value is looked for. */
export const AROUND = 15;
/** Pixels of this part of the full scale are saturated. */
export const FULL = 0.95;
/** Largest half side of a place that is filled. */
export const LARGEST_HOLE = 48;

/** What the stars of a list do to pixels, found once for a list. */
export interface Splitter {
  readonly list: StarList;
  readonly light: readonly LineLight[];
  /** For each line and star: half the side of what is filled, 0 for nothing; and how far pixels are guarded. */
  readonly holes: readonly Uint8Array[];
  readonly guarded: readonly Uint8Array[];
  /** Pixels on each side that a pixel depends on. */
  readonly reach: number;
}

export const splitterOf = (list: StarList, farthest = FARTHEST): Splitter => {
  const light = lightOf(list, farthest);
  const sizes = (line: StarLine, k: number, level: number, margin: number, least = 0) =>
    Uint8Array.from(light[k]!.peaks, (peak, s) => {
      const noise = light[k]!.noise[s]!;
      const radius = peak >= least * noise ? radiusAt(line.shape, peak, level * noise) : 0;
      return radius === 0 ? 0 : Math.min(LARGEST_HOLE, Math.ceil(radius)) + margin;
    });
  const holes = list.lines.map((line, k) => sizes(line, k, FILLS_FROM, 1));
  const guarded = list.lines.map((line, k) => sizes(line, k, GUARDED_FROM, 0, GUARDED_PEAK));
  const largest = (all: readonly Uint8Array[]) =>
    Math.max(0, ...all.map((of) => of.reduce((a, b) => Math.max(a, b), 0)));
  const hole = largest(holes);
  const guard = largest(guarded);
  // A place that is filled ends a margin further on; what stands there was taken off already.
  const reach = Math.max(hole && 2 * patchSide(hole) + 2, guard && guard + AROUND + 2);
  return { list, light, holes, guarded, reach };
};

/** Half the side of the patch that a place of half side `hole` is filled from. */
export const patchSide = (hole: number): number => hole + Math.max(4, hole >> 1);

/** Rows of a window, the same for all lines; NaN and ±Infinity are undefined. */
export interface WindowRows extends Window {
  readonly lines: readonly Samples[];
}

/** One line of a window at work. */
export interface Place {
  readonly splitter: Splitter;
  readonly window: WindowRows;
  readonly k: number;
  readonly line: Samples;
  /** The pixels that belong to stars in part or wholly. */
  readonly masked: Uint32Array;
  readonly model: Float32Array;
  readonly bright: Float32Array;
  /** The line less its stars. */
  readonly taken: Samples;
}
