import type { Box } from '../plane/box.ts';
import type { Samples } from '../plane/plane.ts';
import { clippedNoise } from './immerkaer.ts';

/** A square that was looked at. */
export interface Place {
  readonly mean: number;
  /** Variance of the means of 16 parts about a plane: structure raises it much more than noise does. */
  readonly structure: number;
  /** Noise between direct neighbours, stars clipped; found when it is first asked for, as most places never are. */
  readonly fine: number;
  /** Its pixels, less the mean, row by row; computed anew each time. */
  readonly pixels: Float32Array;
}

/** The mask that noise is measured with is so wide. */
const SMALLEST = 3;

/** Looks at a box of `data`, whose rows are `stride` long; undefined where a value is not finite, or the box is below 3 × 3. */
export const lookAt = (data: Samples, stride: number, box: Box): Place | undefined => {
  const { x, y, width, height } = box;
  if (width < SMALLEST || height < SMALLEST) return undefined;
  const values = data.slice(0, width * height);
  for (let r = 0; r < height; r++) {
    const first = (y + r) * stride + x;
    values.set(data.subarray(first, first + width), r * width);
  }
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  // Not finite where one value is not.
  if (sum - sum !== 0) return undefined;
  const mean = sum / (width * height);
  let fine: number | undefined;
  return {
    mean,
    structure: aboutPlane(partMeans(values, mean, width, height)),
    get fine() {
      fine ??= clippedNoise(values, width, { x: 0, y: 0, width, height });
      return fine;
    },
    get pixels() {
      const pixels = new Float32Array(values.length);
      for (let i = 0; i < pixels.length; i++) pixels[i] = values[i]! - mean;
      return pixels;
    },
  };
};

/** Parts along each side whose means tell of structure. */
const PARTS = 4;

/** Means of the parts of a box, less that of the box; row by row. */
const partMeans = (values: Samples, mean: number, width: number, height: number): Float64Array => {
  const sums = new Float64Array(PARTS ** 2);
  const counts = new Float64Array(PARTS ** 2);
  for (let i = 0, r = 0; r < height; r++) {
    const row = PARTS * Math.floor((r * PARTS) / height);
    for (let part = 0, c = 0; part < PARTS; part++) {
      const end = Math.ceil(((part + 1) * width) / PARTS);
      counts[row + part]! += end - c;
      let sum = 0;
      for (; c < end; c++, i++) sum += values[i]! - mean;
      sums[row + part]! += sum;
    }
  }
  return sums.map((v, i) => v / counts[i]!);
};
/** Variance of the parts' means about the plane that fits them best. */
const aboutPlane = (means: Float64Array): number => {
  const middle = (PARTS - 1) / 2;
  const spread = (PARTS * PARTS * (PARTS ** 2 - 1)) / 12;
  let [mean, across, down] = [0, 0, 0];
  for (const [i, v] of means.entries()) {
    mean += v / means.length;
    across += (v * ((i % PARTS) - middle)) / spread;
    down += (v * (Math.floor(i / PARTS) - middle)) / spread;
  }
  const squares = means.reduce(
    (sum, v, i) => sum + (v - mean - across * ((i % PARTS) - middle) - down * (Math.floor(i / PARTS) - middle)) ** 2,
    0,
  );
  return squares / (means.length - 3);
};
