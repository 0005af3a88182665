import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { eachStrip, type StripOptions } from '../plane/strips.ts';

/** An axis of `bins` equal steps in u = asinh((x − level) / unit). */
export interface HistogramAxis {
  readonly level: number;
  /** Values per unit of the axis near 0; the spread of the sky, or a stand-in where a channel is flat. */
  readonly unit: number;
  /** Ends of the axis in u. */
  readonly low: number;
  readonly high: number;
  readonly bins: number;
}

/**
 * How often values occur, over the axis u = asinh((x − level) / spread): near the background a step is a step of the
 * spread, far above it a step is a factor, so that sky and stars share one picture.
 */
export interface Histogram extends Omit<HistogramAxis, 'bins'> {
  readonly counts: Uint32Array;
}

/** Where a value lies on the axis. */
export const axisOf = ({ level, unit }: Pick<Histogram, 'level' | 'unit'>, value: number): number =>
  Math.asinh((value - level) / unit);

/** The value at a place on the axis. */
export const valueAt = ({ level, unit }: Pick<Histogram, 'level' | 'unit'>, u: number): number =>
  level + unit * Math.sinh(u);

/** From the 0.05 percentile to the maximum. */
export const histogramAxis = (m: Measured): HistogramAxis => {
  const scale = { level: m.level, unit: m.spread > 0 ? m.spread : Math.max(1e-30, m.max - m.min || 1) };
  const low = Math.min(-1, axisOf(scale, m.percentiles['0.05']!)) - 0.4;
  const high = Math.max(1, axisOf(scale, m.max)) + 0.1;
  return { ...scale, low, high, bins: 160 };
};

/** Counts the finite values of a source; what lies beyond an end of the axis falls into the bin there. */
export const histogramOf = async (source: PlaneSource, m: Measured, options: StripOptions = {}): Promise<Histogram> => {
  const axis = histogramAxis(m);
  const counter = histogramCounter(axis);
  await eachStrip(source, counter.count, options);
  return { ...axis, counts: counter.counts };
};

/** Counts values given to it piece by piece. */
export const histogramCounter = (axis: HistogramAxis) => {
  const counts = new Uint32Array(axis.bins);
  const bins = binTable(axis);
  let distances = new Float32Array(0);
  const count = (data: ArrayLike<number>): void => {
    if (distances.length < data.length) distances = new Float32Array(data.length);
    for (let i = 0; i < data.length; i++) distances[i] = data[i]! - axis.level;
    const bits = new Uint32Array(distances.buffer, 0, data.length);
    for (let i = 0; i < data.length; i++) {
      const bin = bins[bits[i]! >>> 16]!;
      if (bin < axis.bins) counts[bin]!++;
    }
  };
  return { counts, count };
};

/** The same from counts of the distances' upper halves: see `UpperCounts`. */
export const histogramFrom = (axis: HistogramAxis, uppers: Float64Array): Uint32Array<ArrayBuffer> => {
  const counts = new Uint32Array(axis.bins);
  const bins = binTable(axis);
  for (let key = 0; key < bins.length; key++) {
    // Keys sort like numbers: bits with the sign turned, and all turned below zero.
    const upper = key & 0x8000 ? key ^ 0x8000 : ~key & 0xffff;
    if (bins[upper]! < axis.bins) counts[bins[upper]!]! += uppers[3 * key]!;
  }
  return counts;
};

/**
 * The bin of every float32 distance from the level by its upper 16 bits: they give a distance to within 1/128, finer
 * than a bin is wide. What is not finite gets a bin that does not exist.
 */
const binTable = ({ unit, low, high, bins: count }: HistogramAxis): Uint8Array => {
  const bins = new Uint8Array(1 << 16);
  const key = new Uint32Array(1);
  const distance = new Float32Array(key.buffer);
  for (let upper = 0; upper < bins.length; upper++) {
    // The middle of what the lower bits may add.
    key[0] = (upper << 16) | 0x8000;
    const u = Math.asinh(distance[0]! / unit);
    const bin = Math.floor(((u - low) / (high - low)) * count);
    bins[upper] = Number.isNaN(u) || (upper & 0x7f80) === 0x7f80 ? count : Math.min(count - 1, Math.max(0, bin));
  }
  return bins;
};
