import { pixelNoiseOf } from '../hours/survey.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { ofPieces } from '../plane/progress.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Zeros } from '../work/open-lines.ts';
import type { Bench } from './bench.ts';
import { type Histogram, histogramAxis, histogramOf } from './histogram.ts';
import type { Lines } from './measure-lines.ts';
import type { InFlight } from './wire/in-flight.ts';
import type { CallContext } from './wire/rpc.ts';
import { sharedWorkOf } from './workers/master-work.ts';

/** What is known of one line: numbers and distribution over the pixels that all lines cover. */
export interface LineReport {
  readonly measured: Measured;
  /** Noise of one pixel at the level, in file units; absent where nowhere is room to measure it. */
  readonly noise?: number;
  readonly histogram: Histogram;
}

/** Share of the work that measuring is; the rest are the histograms. */
const MEASURING = 0.8;

/** Histograms wait no longer than this for pictures. */
const PATIENCE_MS = 1000;

/**
 * Measures all lines at full size.
 * @param pictures what is mixed meanwhile, and sooner wanted than histograms
 */
export const reportLines = async (
  bench: Bench,
  lines: Lines,
  zeros: Zeros,
  pictures: InFlight,
  { signal, progress }: CallContext,
): Promise<LineReport[]> => {
  const names = Object.keys(lines);
  const measured = await bench.measure(lines, names, zeros, [], { signal, progress: (d) => progress(d * MEASURING) });
  await pictures.calm(PATIENCE_MS);
  throwIfCancelled(signal);
  const channels = await bench.lines(lines).full(names, zeros, { signal });
  const parts = ofPieces(channels.length, (done) => progress(MEASURING + (1 - MEASURING) * done));
  const histograms = await Promise.all(
    channels.map(({ source }, i) => histogramFor(source, measured[i]!, { signal, progress: parts(i) })),
  );
  // Measuring noise takes longer than making a picture.
  await pictures.calm(PATIENCE_MS);
  const noises = await Promise.all(channels.map(({ source }, i) => pixelNoiseOf(source, measured[i]!, { signal })));
  return measured.map((of, i) => ({
    measured: of,
    histogram: histograms[i]!,
    ...(noises[i] !== undefined && { noise: noises[i] }),
  }));
};

const histogramFor = async (source: PlaneSource, measured: Measured, options: StripOptions): Promise<Histogram> => {
  const shared = sharedWorkOf(source);
  if (shared === undefined) return histogramOf(source, measured, options);
  const axis = histogramAxis(measured);
  return { ...axis, counts: await shared.histogram(axis, options) };
};
