import type { BlockGrid, BlockLimits } from '../../plane/block-grid.ts';
import type { CountPasses, CountRequest } from '../../plane/counting.ts';
import type { Executor } from '../../plane/executor.ts';
import type { Origin } from '../../plane/origin.ts';
import type { PieceWork, PieceWorking } from '../../plane/piece-work.ts';
import type { Plane, PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { HistogramAxis } from '../histogram.ts';

/**
 * Work on one master that a pool shares. Whole numbers are added and small rows are made in one place: results do not
 * depend on the sharing.
 */
export interface SharedWork {
  passes(request: CountRequest, options: StripOptions): CountPasses;
  /** The smaller copy; made on the way when all values are first counted. */
  small(options: StripOptions): Promise<Plane>;
  histogram(axis: HistogramAxis, options: StripOptions): Promise<Uint32Array>;
  blocks(limits: BlockLimits, options: StripOptions): Promise<BlockGrid>;
  /** Work on this master and others in pieces; all have origins. */
  pieces(work: PieceWork, origins: readonly Origin[], options: StripOptions): ReturnType<PieceWorking>;
}

const works = new WeakMap<PlaneSource, SharedWork>();

/** Notes that a pool works on a source. */
export const remember = (source: PlaneSource, work: SharedWork): void => void works.set(source, work);

/** What a pool can do for a source; undefined for one that only this worker can read. */
export const sharedWorkOf = (source: PlaneSource): SharedWork | undefined => works.get(source);

/** What the pool does together wherever the source is known to it. */
export const poolExecutor = (options: StripOptions): Executor => ({
  count: ({ source, ...request }) => works.get(source)?.passes({ source, ...request }, options),
  blocks: (source, limits) => works.get(source)?.blocks(limits, options),
  pieces(work) {
    const origins = work.sources.flatMap(({ origin }) => origin ?? []);
    if (origins.length < work.sources.length) return undefined;
    const known = work.sources.find((source) => works.has(source));
    return known && works.get(known)!.pieces(work, origins, options);
  },
});
