import { inputError } from '../plane/errors.ts';
import { createMask, eachMarked, isMarked, type Mask } from '../plane/mask.ts';
import { type Measured, STANDARD_PERCENTILES } from '../plane/measured.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { eachStrip, isWide, type StripOptions, samplesFor } from '../plane/strips.ts';
import {
  addValues,
  beginRefining,
  countBelow,
  createOrderIndex,
  endRefining,
  type OrderIndex,
  refineValues,
} from './order-index.ts';
import { clip, MAD_TO_SIGMA, medianDeviation, percentile } from './statistics.ts';
import { looksStretched } from './stretched.ts';

/** A master under the name that recipes use for it. */
export interface Channel {
  readonly name: string;
  readonly source: PlaneSource;
}

export interface MeasureOptions extends StripOptions {
  /** Percentiles to measure besides the standard ones. */
  readonly percentiles?: readonly number[];
}

/**
 * Measures all channels over their common coverage: pixels that are finite in every one of them.
 * Reads every master two to four times by strips; memory does not depend on the size but for one bit a pixel where
 * something is undefined.
 * @throws LinewashError 'input' where sizes differ or no pixel is covered by all channels.
 */
export const measureChannels = async (
  channels: readonly Channel[],
  options: MeasureOptions = {},
): Promise<Measured[]> => {
  checkSizes(channels);
  const uncovered = await findUncovered(channels, options);
  const result: Measured[] = [];
  for (const [i, channel] of channels.entries()) {
    const share = (done: number) => options.progress?.((1 + i + done) / (channels.length + 1));
    result.push(await measureOne(channel, uncovered, { ...options, progress: share }));
  }
  return result;
};

/** @throws LinewashError 'input' naming both sizes where two channels differ. */
export const checkSizes = (channels: readonly Channel[]): void => {
  const [first, ...others] = channels;
  for (const { source } of others) {
    if (first === undefined || (source.width === first.source.width && source.height === first.source.height)) continue;
    throw inputError(
      `${source.file} is ${source.width} × ${source.height} pixels, ${first.source.file} is ` +
        `${first.source.width} × ${first.source.height}`,
      'register and crop all masters to one common frame first',
    );
  }
};

export interface Uncovered {
  /** Pixels undefined in any channel; no mask where there is none. */
  readonly mask: Mask | undefined;
  /** Undefined pixels by channel. */
  readonly counts: ReadonlyMap<string, number>;
}

/** Where the common coverage ends. */
export const findUncovered = async (channels: readonly Channel[], options: StripOptions): Promise<Uncovered> => {
  let mask: Mask | undefined;
  const counts = new Map<string, number>();
  for (const [i, { name, source }] of channels.entries()) {
    let count = 0;
    const look = (data: Samples, y: number) => {
      for (let k = 0; k < data.length; k++) {
        if (Number.isFinite(data[k])) continue;
        count++;
        mask ??= createMask(source.width, source.height);
        const x = k % source.width;
        mask.bits[(y + (k - x) / source.width) * mask.stride + (x >> 3)]! |= 1 << (x & 7);
      }
    };
    const progress = (done: number) => options.progress?.((i + done) / channels.length / (channels.length + 1));
    await eachStrip(source, look, { ...options, progress });
    counts.set(name, count);
  }
  return { mask, counts };
};

/** Streams the counted pixels as float32, less `pedestal`; `use` gets a reused buffer and how many values it holds. */
const eachCounted = (
  source: PlaneSource,
  mask: Mask | undefined,
  pedestal: number,
  use: (values: Float32Array, n: number) => void,
  options: StripOptions,
): Promise<void> => {
  let values = new Float32Array(0);
  return eachStrip(
    source,
    (data, y, rows) => {
      if (values.length < data.length) values = new Float32Array(data.length);
      if (mask !== undefined)
        eachMarked(mask, y, rows, (k) => {
          data[k] = Number.NaN;
        });
      let n = 0;
      // Adding 0 turns −0 into 0, which the order index counts as one value.
      for (let k = 0; k < data.length; k++) {
        const v = data[k]! - pedestal + 0;
        if (v - v === 0) values[n++] = v;
      }
      use(values, n);
    },
    options,
  );
};

const measureOne = async (
  { name, source }: Channel,
  uncovered: Uncovered,
  options: MeasureOptions,
): Promise<Measured> => {
  const { mask } = uncovered;
  const centre = await someValue(source, mask);
  // Types wider than float32 are indexed relative to a value of their own, so that a pedestal costs no precision.
  const pedestal = isWide(source) ? centre : 0;
  const index = createOrderIndex(centre - pedestal);
  await eachCounted(source, mask, pedestal, (values, n) => addValues(index, values, n), options);
  if (index.total === 0)
    throw inputError(
      `no pixel has data in all masters (${source.file} included)`,
      'check that the masters show the same field and are not empty',
      source.file,
    );
  const facts = { name, file: source.file, width: source.width, height: source.height, type: source.type };
  for (;;) {
    const found = summarize(index, pedestal, source, options.percentiles ?? []);
    if (!beginRefining(index))
      return {
        ...facts,
        filter: source.facts.filter,
        hours: source.facts.hours,
        ...found,
        undefined: uncovered.counts.get(name) ?? 0,
      };
    await eachCounted(source, mask, pedestal, (values, n) => refineValues(index, values, n), options);
    endRefining(index);
  }
};

const summarize = (index: OrderIndex, pedestal: number, source: PlaneSource, extra: readonly number[]) => {
  const min = percentile(index, 0) + pedestal;
  const max = percentile(index, 100) + pedestal;
  const median = percentile(index, 50);
  const reach = Math.max(max - pedestal - median, median - (min - pedestal));
  const mad = medianDeviation(index, median, reach);
  const clipped = clip(index);
  const percentiles: Record<string, number> = {};
  for (const p of [...STANDARD_PERCENTILES, ...extra]) percentiles[String(p)] = percentile(index, p) + pedestal;
  const atMax = index.total - countBelow(index, max - pedestal, false);
  const full = source.fullScale;
  return {
    min,
    max,
    median: median + pedestal,
    madNoise: mad * MAD_TO_SIGMA,
    level: clipped.level + pedestal,
    noise: clipped.noise,
    percentiles,
    counted: index.total,
    saturated: (full === undefined ? atMax >= 3 : max >= full) && max > min ? atMax : 0,
    flat: !(max > min),
    stretched: looksStretched({ fullScale: full, max, median: median + pedestal, percentiles }),
  };
};

/** The first counted value from the middle of the picture on: near enough to most others to sum about it. */
const someValue = async (source: PlaneSource, mask: Mask | undefined): Promise<number> => {
  const row = samplesFor(source, source.width);
  for (let i = 0; i < source.height; i++) {
    const y = (Math.floor(source.height / 2) + i) % source.height;
    await source.readRows(y, 1, row);
    for (let x = 0; x < source.width; x++)
      if (Number.isFinite(row[x]) && !(mask && isMarked(mask, x, y))) return row[x]!;
  }
  return 0;
};
