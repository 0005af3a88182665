import type { BlockGrid, BlockLimits } from '../plane/block-grid.ts';
import type { CountPasses, CountRequest } from '../plane/counting.ts';
import type { Hands } from '../plane/hands.ts';
import type { Plane, PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { HistogramAxis } from './histogram.ts';

/**
 * Work on one master that a crew shares. Whole numbers are added and small rows are made in one place: results do not
 * depend on the sharing.
 */
export interface SharedWork {
  passes(request: CountRequest, options: StripOptions): CountPasses;
  /** The smaller copy; made on the way when all values are first counted. */
  small(options: StripOptions): Promise<Plane>;
  histogram(axis: HistogramAxis, options: StripOptions): Promise<Uint32Array>;
  blocks(limits: BlockLimits, options: StripOptions): Promise<BlockGrid>;
}

const works = new WeakMap<PlaneSource, SharedWork>();

/** Notes that a crew works on a source. */
export const remember = (source: PlaneSource, work: SharedWork): void => void works.set(source, work);

/** What a crew can do for a source; undefined for one that only this worker can read. */
export const sharedWorkOf = (source: PlaneSource): SharedWork | undefined => works.get(source);

/** What the crew does together wherever the source is known to it. */
export const crewHands = (options: StripOptions): Hands => ({
  count: ({ source, ...request }) => works.get(source)?.passes({ source, ...request }, options),
  blocks: (source, limits) => works.get(source)?.blocks(limits, options),
});
