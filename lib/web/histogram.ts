import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { eachStrip, type StripOptions } from '../plane/strips.ts';

/**
 * How often values occur, over the axis u = asinh((x − level) / noise): near the background a step is a step of the
 * noise, far above it a step is a factor, so that sky and stars share one picture.
 */
export interface Histogram {
  readonly level: number;
  /** Values per unit of the axis near 0; the noise, or a stand-in where a channel is flat. */
  readonly unit: number;
  /** Ends of the axis in u. */
  readonly low: number;
  readonly high: number;
  readonly counts: Uint32Array;
}

const BINS = 160;

/** Where a value lies on the axis. */
export const axisOf = ({ level, unit }: Pick<Histogram, 'level' | 'unit'>, value: number): number =>
  Math.asinh((value - level) / unit);

/** The value at a place on the axis. */
export const valueAt = ({ level, unit }: Pick<Histogram, 'level' | 'unit'>, u: number): number =>
  level + unit * Math.sinh(u);

/** Counts the finite values of a source from the 0.05 percentile to the maximum; what lies below falls into the first bin. */
export const histogramOf = async (source: PlaneSource, m: Measured, options: StripOptions = {}): Promise<Histogram> => {
  const scale = { level: m.level, unit: m.noise > 0 ? m.noise : Math.max(1e-30, m.max - m.min || 1) };
  const low = Math.min(-1, axisOf(scale, m.percentiles['0.05']!)) - 0.4;
  const high = Math.max(1, axisOf(scale, m.max)) + 0.1;
  const counts = new Uint32Array(BINS);
  const perBin = BINS / (high - low);
  const count = (data: ArrayLike<number>) => {
    for (let i = 0; i < data.length; i++) {
      const v = data[i]!;
      if (v - v !== 0) continue;
      const bin = Math.floor((axisOf(scale, v) - low) * perBin);
      counts[Math.min(BINS - 1, Math.max(0, bin))]!++;
    }
  };
  await eachStrip(source, count, options);
  return { ...scale, low, high, counts };
};
