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
  const bins = binTable(scale.unit, low, high);
  let distances = new Float32Array(0);
  const count = (data: ArrayLike<number>) => {
    if (distances.length < data.length) distances = new Float32Array(data.length);
    for (let i = 0; i < data.length; i++) distances[i] = data[i]! - m.level;
    const bits = new Uint32Array(distances.buffer, 0, data.length);
    for (let i = 0; i < data.length; i++) {
      const bin = bins[bits[i]! >>> 16]!;
      if (bin < BINS) counts[bin]!++;
    }
  };
  await eachStrip(source, count, options);
  return { ...scale, low, high, counts };
};

/**
 * The bin of every float32 distance from the level by its upper 16 bits: they give a distance to within 1/128, finer
 * than a bin is wide. What is not finite gets a bin that does not exist.
 */
const binTable = (unit: number, low: number, high: number): Uint8Array => {
  const bins = new Uint8Array(1 << 16);
  const key = new Uint32Array(1);
  const distance = new Float32Array(key.buffer);
  for (let upper = 0; upper < bins.length; upper++) {
    // The middle of what the lower bits may add.
    key[0] = (upper << 16) | 0x8000;
    const u = Math.asinh(distance[0]! / unit);
    const bin = Math.floor(((u - low) / (high - low)) * BINS);
    bins[upper] = Number.isNaN(u) || (upper & 0x7f80) === 0x7f80 ? BINS : Math.min(BINS - 1, Math.max(0, bin));
  }
  return bins;
};
