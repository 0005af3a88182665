import type { CountPasses, CountRequest, LowerCounts, UpperCounts } from '../plane/counting.ts';
import { eachMarked } from '../plane/mask.ts';
import type { Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import { eachStrip, type StripOptions, samplesFor, stripRows } from '../plane/strips.ts';
import { canCountFast, createCounter } from './counter.ts';
import { jsCounter } from './js-counter.ts';

/** Counts by reading rows: works for every source. Memory: a strip, and the counts. */
export const countRows = (request: CountRequest, options: StripOptions): CountPasses => ({
  async upper(): Promise<UpperCounts> {
    const counter = counterFor(request, []);
    await eachStrip(request.source, (data, y, rows) => counter.count(covered(request, data, y, rows)), options);
    const counts = counter.upper();
    counter.release();
    return counts;
  },
  async lower(bins): Promise<LowerCounts> {
    const counter = counterFor(request, bins);
    await eachStrip(request.source, (data, y, rows) => counter.refine(covered(request, data, y, rows)), options);
    const counts = counter.lower();
    counter.release();
    return counts;
  },
});

const covered = ({ mask }: CountRequest, data: Samples, y: number, rows: number): Samples => {
  if (mask !== undefined)
    eachMarked(mask, y, rows, (k) => {
      data[k] = Number.NaN;
    });
  return data;
};

const counterFor = ({ source, pedestal }: CountRequest, bins: readonly number[]) => {
  if (!canCountFast()) return jsCounter(pedestal, bins);
  const form = memoryForm(samplesFor(source, 0));
  const most = source.width * Math.min(source.height, stripRows(source.width));
  const counter = createCounter({ form, pedestal, most, bins });
  const put = (data: Samples) => {
    counter.samples.set(new Uint8Array(data.buffer, data.byteOffset, data.byteLength));
    return data.length;
  };
  return {
    count: (data: Samples) => counter.count(put(data)),
    refine: (data: Samples) => counter.refine(put(data)),
    upper: counter.upper,
    lower: counter.lower,
    release: counter.release,
  };
};
