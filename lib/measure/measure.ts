import { inputError } from '../plane/errors.ts';
import { type Measured, STANDARD_PERCENTILES } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { inHalves, ofPieces } from '../plane/progress.ts';
import type { StripOptions } from '../plane/strips.ts';
import { countBelow, createOrderIndex, type OrderIndex, refineBins, wantedBins } from './order-index.ts';
import { passesFor, pedestalOf, upperCounts } from './passes.ts';
import { someValue } from './some-value.ts';
import { clip, MAD_TO_SIGMA, medianDeviation, percentile } from './statistics.ts';
import { looksStretched } from './stretched.ts';
import { findUncovered, type Uncovered } from './uncovered.ts';

export { findUncovered, type Uncovered } from './uncovered.ts';

/** A master under the name that recipes use for it. */
export interface Channel {
  readonly name: string;
  readonly source: PlaneSource;
}

/** What to measure, and how it may be stopped and sped up. */
export interface MeasureChannelsOptions extends StripOptions {
  /** Percentiles to measure besides the standard ones. */
  readonly percentiles?: readonly number[];
}

/**
 * Measures all channels over their common coverage: pixels that are finite in every one of them.
 * Reads every master a few times by strips; memory does not depend on the size but for one bit a pixel where
 * something is undefined.
 * @throws LinewashError 'input' where sizes differ or no pixel is covered by all channels.
 */
export const measureChannels = async (
  channels: readonly Channel[],
  options: MeasureChannelsOptions = {},
): Promise<Measured[]> => {
  checkSizes(channels);
  const [first, second] = inHalves(options.progress);
  const uncovered = await findUncovered(channels, { ...options, progress: first });
  const progress = ofPieces(channels.length, second);
  // All at once: while the counts of one are added up, others are counted.
  return Promise.all(
    channels.map(async (channel, i) => {
      const measured = await measureOne(channel, uncovered, { ...options, progress: progress(i) });
      progress(i)(1);
      return measured;
    }),
  );
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

const measureOne = async (
  { name, source }: Channel,
  uncovered: Uncovered,
  options: MeasureChannelsOptions,
): Promise<Measured> => {
  const { mask } = uncovered;
  const pedestal = await pedestalOf(source, mask);
  const centre = await someValue(source, mask);
  const request = { source, mask, pedestal };
  const index = createOrderIndex(await upperCounts(request, options), centre - pedestal);
  if (index.total === 0)
    throw inputError(
      `no pixel has data in all masters (${source.file} included)`,
      'check that the masters show the same field and are not empty',
      source.file,
    );
  const facts = { name, file: source.file, width: source.width, height: source.height, type: source.type };
  for (;;) {
    const found = summarize(index, pedestal, source, options.percentiles ?? []);
    const bins = wantedBins(index);
    if (bins.length === 0)
      return {
        ...facts,
        filter: source.facts.filter,
        hours: source.facts.hours,
        ...found,
        stretched: await looksStretched(source, { fullScale: source.fullScale, ...found }),
        undefined: uncovered.counts.get(name) ?? 0,
      };
    refineBins(index, bins, await passesFor(request, options).lower(bins));
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
    madSpread: mad * MAD_TO_SIGMA,
    level: clipped.level + pedestal,
    spread: clipped.spread,
    percentiles,
    counted: index.total,
    saturated: (full === undefined ? atMax >= 3 : max >= full) && max > min ? atMax : 0,
    flat: !(max > min),
  };
};
