import type { Mask } from './mask.ts';
import type { PlaneSource } from './plane.ts';
import type { Progress } from './progress.ts';

/** Bins that values are counted in: the upper 16 bits of a float32, sign folded in. */
export const BINS = 1 << 16;

/** First pass over a channel's values. */
export interface UpperCounts {
  /** For each bin three numbers: how many values, the sum of their lower 16 bits, and the sum of these squared. */
  readonly bins: Float64Array<ArrayBuffer>;
  /** Pixels without data. */
  readonly missing: number;
  /** Values that are exactly 0 once the pedestal is taken off. */
  readonly zeros: number;
}

/** How many values of a bin have each lower half, their place. */
export interface PlaceCounts {
  /** By place: the count modulo 256, and how often it passed that. */
  readonly bytes: Uint8Array<ArrayBuffer>;
  readonly passed: ReadonlyMap<number, number>;
  /** For each 256 places the count, the sum of the places and the sum of these squared. */
  readonly blocks: Float64Array<ArrayBuffer>;
}

/** Second pass: what was counted for each wanted bin, in as many parts as there were threads. */
export type LowerCounts = readonly (readonly PlaceCounts[])[];

/** Which values are to be counted. */
export interface CountRequest {
  readonly source: PlaneSource;
  /** Pixels that do not count. */
  readonly mask: Mask | undefined;
  /** Taken off before values are rounded to float32. */
  readonly pedestal: number;
}

/** Passes over one channel's values. Counts are whole numbers, so any way of sharing the work gives the same. */
export interface CountPasses {
  upper(): Promise<UpperCounts>;
  lower(bins: readonly number[]): Promise<LowerCounts>;
}

/**
 * A faster way to count than reading rows here; undefined where it cannot serve a request. `progress` is called with the
 * share of each pass that is done.
 */
export type Counting = (request: CountRequest, progress?: Progress) => CountPasses | undefined;

/** Adds the counts of one share of a channel to those of another. */
export const addUpper = (to: UpperCounts | undefined, more: UpperCounts): UpperCounts => {
  if (to === undefined) return more;
  const { bins } = to;
  for (let i = 0; i < bins.length; i++) bins[i]! += more.bins[i]!;
  return { bins, missing: to.missing + more.missing, zeros: to.zeros + more.zeros };
};

/** Shares are put side by side; whoever wants a sum adds up what is needed of them. */
export const addLower = (to: LowerCounts | undefined, more: LowerCounts): LowerCounts =>
  to === undefined ? more : to.map((parts, k) => [...parts, ...more[k]!]);
