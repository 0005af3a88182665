import { originAfter } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { isWide, samplesFor } from '../plane/strips.ts';

/** Weights of the binomial kernel of length 5, over 16 in each direction. */
const TAPS = [1, 4, 6, 4, 1] as const;
/** Rows above and below that a smoothed row depends on. */
export const SMOOTHING_REACH = 2;

/**
 * The source smoothed by the separable kernel [1 4 6 4 1]/16, normalised by the pixels that are defined: Σ h·x / Σ h over
 * these. Undefined pixels stay undefined; what lies outside the frame counts as undefined. Any cut into bands gives the
 * same bytes: each pixel is a sum in the same order over the same pixels.
 */
export const smoothed = (source: PlaneSource): PlaneSource => ({
  ...source,
  type: isWide(source) ? 'f64' : 'f32',
  fullScale: undefined,
  raw: undefined,
  ...originAfter(source.origin, (of) => ({ step: 'smooth', of })),
  async readRows(y, rows, into) {
    const { width, height } = source;
    const top = Math.max(0, y - SMOOTHING_REACH);
    const bottom = Math.min(height, y + rows + SMOOTHING_REACH);
    const data = samplesFor(source, (bottom - top) * width);
    await source.readRows(top, bottom - top, data);
    const band = alongRows(data, width);
    for (let r = 0; r < rows; r++) smoothRow(data, band, { row: y + r - top, width }, into, r * width);
  },
});

/** Sums along rows, and of the weights of the pixels that are in them. */
interface Sums {
  readonly values: Float64Array;
  readonly weights: Float64Array;
}

const alongRows = (data: Samples, width: number): Sums => {
  const values = new Float64Array(data.length);
  const weights = new Float64Array(data.length);
  for (let start = 0; start < data.length; start += width)
    for (let x = 0; x < width; x++)
      for (let t = Math.max(-2, -x); t <= Math.min(2, width - 1 - x); t++) {
        const value = data[start + x + t]!;
        if (value - value !== 0) continue;
        values[start + x]! += TAPS[t + 2]! * value;
        weights[start + x]! += TAPS[t + 2]!;
      }
  return { values, weights };
};

const smoothRow = (
  data: Samples,
  { values, weights }: Sums,
  { row, width }: { readonly row: number; readonly width: number },
  into: Samples,
  at: number,
): void => {
  for (let x = 0; x < width; x++) {
    const centre = row * width + x;
    let sum = 0;
    let weight = 0;
    for (let t = -2; t <= 2; t++) {
      const i = centre + t * width;
      if (i < 0 || i >= data.length) continue;
      sum += TAPS[t + 2]! * values[i]!;
      weight += TAPS[t + 2]! * weights[i]!;
    }
    const own = data[centre]!;
    into[at + x] = own - own === 0 ? sum / weight : own;
  }
};
