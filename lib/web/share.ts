import { countRows } from '../measure/count-rows.ts';
import type { LowerCounts, UpperCounts } from '../plane/counting.ts';
import type { Mask } from '../plane/mask.ts';
import { hidePixels } from '../plane/memory-plane.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { eachStrip, type StripOptions } from '../plane/strips.ts';
import { collectMeans, type Size } from '../render/shrink.ts';
import { crop } from './crop.ts';
import { type HistogramAxis, histogramCounter } from './histogram.ts';

/** What is to be found in some rows of a master, all in one reading. Plain data. */
export interface Share {
  readonly y: number;
  readonly rows: number;
  /** Pixels of these rows that do not count. */
  readonly mask?: Mask | undefined;
  /** Values by their upper halves, or the lower halves of the named bins: see `CountPasses`. */
  readonly count?: { readonly pedestal: number; readonly bins: readonly number[] } | undefined;
  /** The small rows [from, to) of a smaller copy, of which these rows are all that is needed. */
  readonly means?: { readonly small: Size; readonly from: number; readonly to: number } | undefined;
  readonly histogram?: HistogramAxis | undefined;
}

export interface ShareResult {
  readonly upper?: UpperCounts;
  readonly lower?: LowerCounts;
  /** Small rows one after the other. */
  readonly means?: Float32Array<ArrayBuffer>;
  readonly histogram?: Uint32Array<ArrayBuffer>;
}

/** Reads rows of a master once and finds all that is asked for. */
export const doShare = async (
  source: PlaneSource,
  { y, rows, mask, count, means, histogram }: Share,
  options: StripOptions,
): Promise<ShareResult> => {
  const part = crop(source, { x: 0, y, width: source.width, height: rows });
  const collected = means && collectMeans(source, means.small, means.from, means.to);
  const bins = histogram && histogramCounter(histogram);
  const seen = watched(mask ? hidePixels(part, mask) : part, (data, at, number) => {
    collected?.add(data, y + at, number);
    bins?.count(data);
  });
  const found = count
    ? await counted(seen, count, options)
    : await eachStrip(seen, () => {}, options).then((): ShareResult => ({}));
  return {
    ...found,
    ...(collected && { means: collected.plane().data as Float32Array<ArrayBuffer> }),
    ...(bins && { histogram: bins.counts }),
  };
};

const counted = async (
  source: PlaneSource,
  { pedestal, bins }: NonNullable<Share['count']>,
  options: StripOptions,
): Promise<ShareResult> => {
  const passes = countRows({ source, mask: undefined, pedestal }, options);
  return bins.length === 0 ? { upper: await passes.upper() } : { lower: await passes.lower(bins) };
};

/** The same rows; whoever reads them shows them to `look` on the way. */
const watched = (source: PlaneSource, look: (data: Samples, y: number, rows: number) => void): PlaneSource => ({
  ...source,
  async readRows(y, rows, into) {
    await source.readRows(y, rows, into);
    look(into.subarray(0, rows * source.width), y, rows);
  },
});

/** The buffers of a result, to be handed over instead of copied. */
export const buffersOf = ({ upper, lower, means, histogram }: ShareResult): ArrayBuffer[] => [
  ...(upper ? [upper.bins.buffer] : []),
  ...(lower ?? []).flatMap((parts) => parts.flatMap(({ bytes, blocks }) => [bytes.buffer, blocks.buffer])),
  ...(means ? [means.buffer] : []),
  ...(histogram ? [histogram.buffer] : []),
];
