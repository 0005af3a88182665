import type { Box } from '../plane/box.ts';
import type { Samples } from '../plane/plane.ts';
import { clippedNoise } from './immerkaer.ts';

/** A square that was looked at. */
export interface Place {
  readonly mean: number;
  /** Noise between direct neighbours, stars clipped. */
  readonly fine: number;
  /** Variance of the means of 16 parts about a plane: structure raises it much more than noise does. */
  readonly structure: number;
  /** Its pixels, less the mean, row by row. */
  readonly pixels: Float32Array;
}

/** Parts along each side whose means tell of structure. */
const PARTS = 4;

/** Looks at a box of `data`, whose rows are `stride` long; undefined where a value is not finite. */
export const lookAt = (data: Samples, stride: number, box: Box): Place | undefined => {
  const fine = clippedNoise(data, stride, box);
  if (Number.isNaN(fine)) return undefined;
  const { x, y, width, height } = box;
  let sum = 0;
  for (let r = y; r < y + height; r++) for (let c = x; c < x + width; c++) sum += data[r * stride + c]!;
  const mean = sum / (width * height);
  const pixels = new Float32Array(width * height);
  for (let r = 0; r < height; r++)
    for (let c = 0; c < width; c++) pixels[r * width + c] = data[(y + r) * stride + x + c]! - mean;
  return {
    mean,
    fine,
    pixels,
    structure: aboutPlane(partMeans(pixels, width, height)),
  };
};

const partMeans = (pixels: Float32Array, width: number, height: number): Float64Array => {
  const means = new Float64Array(PARTS ** 2);
  const counts = new Float64Array(PARTS ** 2);
  for (let i = 0, r = 0; r < height; r++)
    for (let c = 0; c < width; c++, i++) {
      const part = PARTS * Math.floor((r * PARTS) / height) + Math.floor((c * PARTS) / width);
      means[part]! += pixels[i]!;
      counts[part]! += 1;
    }
  return means.map((v, i) => v / counts[i]!);
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
