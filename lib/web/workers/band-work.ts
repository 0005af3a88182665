import { canCountFast } from '../../measure/count-kernel.ts';
import { countRows } from '../../measure/count-rows.ts';
import { createCounter } from '../../measure/counter.ts';
import type { Block, BlockLimits } from '../../plane/block-grid.ts';
import type { LowerCounts, UpperCounts } from '../../plane/counting.ts';
import { cropped } from '../../plane/cropped.ts';
import { eachMarked, type Mask } from '../../plane/mask.ts';
import { hidePixels } from '../../plane/memory-plane.ts';
import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { canDecode, rawForm } from '../../plane/sample-form.ts';
import { collectMeans, type Size } from '../../plane/shrink.ts';
import { eachStrip, isWide, type StripOptions, stripRows } from '../../plane/strips.ts';
import { collectBlocks } from '../../prepare/background/blocks.ts';
import { eachStoredStrip, type StoredRows, storedRows } from '../bytes/raw-strips.ts';
import { type HistogramAxis, histogramCounter, histogramFrom } from '../histogram.ts';

/** What is to be found in some rows of a master, all in one reading. Plain data. */
export interface BandWork {
  readonly y: number;
  readonly rows: number;
  /** Pixels of these rows that do not count. */
  readonly mask?: Mask | undefined;
  /** Values by their upper halves, or the lower halves of the named bins: see `CountPasses`. */
  readonly count?: { readonly pedestal: number; readonly bins: readonly number[] } | undefined;
  /** The small rows [from, to) of a smaller copy, of which these rows are all that is needed. */
  readonly means?: { readonly small: Size; readonly from: number; readonly to: number } | undefined;
  /** Not together with `count`. */
  readonly histogram?: HistogramAxis | undefined;
  /** The blocks of these rows, which begin at a multiple of the block size. */
  readonly blocks?: Omit<BlockLimits, 'mask'> | undefined;
}

export interface BandFindings {
  readonly upper?: UpperCounts;
  readonly lower?: LowerCounts;
  /** Small rows one after the other. */
  readonly means?: Float32Array<ArrayBuffer>;
  readonly histogram?: Uint32Array<ArrayBuffer>;
  /** Row by row. */
  readonly blocks?: readonly Block[];
}

/**
 * Reads rows of a master once and finds all that is asked for.
 * @param blob the file that the master was opened from
 */
export const lookAtBand = async (
  source: PlaneSource,
  work: BandWork,
  blob: Blob,
  options: StripOptions,
): Promise<BandFindings> => {
  const { y, rows, mask, means, blocks } = work;
  const collected = means && collectMeans(source, means.small, means.from, means.to);
  const measured = blocks && collectBlocks(source, blocks);
  const look = (data: Samples, at: number, number: number): void => {
    collected?.add(data, at, number);
    measured?.add(data, at, number);
  };
  const stored = storedRows(source, blob);
  const part = () => cropped(source, { x: 0, y, width: source.width, height: rows });
  const found =
    stored && canCountFast() && canDecode(stored.raw.type) && !isWide(source)
      ? await lookAtStored(source, stored, work, look, options)
      : await lookAtRows(mask ? hidePixels(part(), mask) : part(), work, look, options);
  return {
    ...found,
    ...(collected && { means: collected.plane().data as Float32Array<ArrayBuffer> }),
    ...(measured && { blocks: measured.blocks }),
  };
};

type Look = (data: Samples, y: number, rows: number) => void;

/** Has the kernel decode rows as they are stored. */
const lookAtStored = async (
  { width, type }: PlaneSource,
  stored: StoredRows,
  work: BandWork,
  look: Look,
  options: StripOptions,
): Promise<BandFindings> => {
  const { y: top, rows: all, mask, count, histogram } = work;
  const most = width * Math.min(all, stripRows(width));
  const bins = count?.bins ?? [];
  const form = rawForm(stored.raw, type);
  const counter = createCounter({ form, pedestal: 0, most, bins, decodes: true });
  try {
    const visit = (y: number, rows: number): void => {
      const data = counter.decode(rows * width);
      if (mask)
        eachMarked(mask, y - top, rows, (index) => {
          data[index] = Number.NaN;
        });
      look(data, y, rows);
      if (histogram) counter.takeOff(data.length, histogram.level);
      if (bins.length > 0) counter.refine(data.length);
      else if (count ?? histogram) counter.count(data.length);
    };
    await eachStoredStrip(stored, { y: top, rows: all }, counter.samples, visit, options);
    if (histogram) return { histogram: histogramFrom(histogram, counter.upper().bins) };
    if (count === undefined) return {};
    return bins.length === 0 ? { upper: counter.upper() } : { lower: counter.lower() };
  } finally {
    counter.release();
  }
};

const lookAtRows = async (
  source: PlaneSource,
  { y: top, count, histogram }: BandWork,
  look: Look,
  options: StripOptions,
): Promise<BandFindings> => {
  const bins = histogram && histogramCounter(histogram);
  const seen: PlaneSource = {
    ...source,
    async readRows(y, rows, into) {
      await source.readRows(y, rows, into);
      const data = into.subarray(0, rows * source.width);
      look(data, top + y, rows);
      bins?.count(data);
    },
  };
  if (count === undefined) {
    await eachStrip(seen, () => {}, options);
    return bins ? { histogram: bins.counts } : {};
  }
  const passes = countRows({ source: seen, mask: undefined, pedestal: count.pedestal }, options);
  return count.bins.length === 0 ? { upper: await passes.upper() } : { lower: await passes.lower(count.bins) };
};

/** The buffers of a result, to be handed over instead of copied. */
export const buffersOf = ({ upper, lower, means, histogram }: BandFindings): ArrayBuffer[] => [
  ...(upper ? [upper.bins.buffer] : []),
  ...(lower ?? []).flatMap((parts) => parts.flatMap(({ bytes, blocks }) => [bytes.buffer, blocks.buffer])),
  ...(means ? [means.buffer] : []),
  ...(histogram ? [histogram.buffer] : []),
];
