import type { CountPasses, CountRequest, LowerCounts, UpperCounts } from '../plane/counting.ts';
import { eachMarked } from '../plane/mask.ts';
import type { Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import { eachStrip, type StripOptions, samplesFor, stripRows } from '../plane/strips.ts';
import { turns } from '../plane/turns.ts';
import { canCountFast } from './count-kernel.ts';
import { createCounter } from './counter.ts';
import { jsCounter } from './js-counter.ts';

/** Counters are large, and two at a time on one thread are no faster. */
const turn = turns();

/** Counts by reading rows: works for every source. Memory: a strip, and the counts. */
export const countRows = (request: CountRequest, options: StripOptions): CountPasses => {
  type Counter = ReturnType<typeof counterFor>;
  const pass = <C>(bins: readonly number[], add: (counter: Counter, data: Samples) => void, take: (c: Counter) => C) =>
    turn(async () => {
      const counter = counterFor(request, bins);
      try {
        await eachStrip(request.source, (data, y, rows) => add(counter, covered(request, data, y, rows)), options);
        return take(counter);
      } finally {
        counter.release();
      }
    });
  return {
    upper: () =>
      pass<UpperCounts>(
        [],
        (counter, data) => counter.count(data),
        (counter) => counter.upper(),
      ),
    lower: (bins) =>
      pass<LowerCounts>(
        bins,
        (counter, data) => counter.refine(data),
        (counter) => counter.lower(),
      ),
  };
};

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
