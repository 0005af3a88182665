import type { Size } from './smooth.ts';

/** Where a Gaussian is cut off, in standard deviations. */
const CUT = 3;

/** Half of a sampled Gaussian, from its centre on, whose whole sums to 1. */
const halfKernel = (sigma: number): Float64Array => {
  const reach = Math.max(1, Math.ceil(CUT * sigma));
  const half = Float64Array.from({ length: reach + 1 }, (_, i) => Math.exp((-i * i) / (2 * sigma * sigma)));
  const sum = half.reduce((all, k, i) => all + (i === 0 ? k : 2 * k), 0);
  return half.map((k) => k / sum);
};

/**
 * Convolution with a Gaussian along both axes; outside the picture all is 0.
 * @param from left as it is unless it is `into`
 * @param spare room for as many values
 */
export const blur = (
  from: Float32Array,
  { width, height }: Size,
  sigma: number,
  spare: Float32Array,
  into: Float32Array,
): void => {
  const half = halfKernel(sigma);
  for (let y = 0; y < height; y++) alongRow(from, y * width, width, half, spare);
  const reach = half.length - 1;
  for (let y = 0; y < height; y++) {
    const row = into.subarray(y * width, (y + 1) * width);
    addScaled(row, spare, y * width, half[0]!, true);
    for (let j = 1; j <= reach; j++) {
      const [above, below] = [y - j, y + j];
      if (above >= 0 && below < height) addTwo(row, spare, above * width, below * width, half[j]!);
      else if (above >= 0) addScaled(row, spare, above * width, half[j]!, false);
      else if (below < height) addScaled(row, spare, below * width, half[j]!, false);
    }
  }
};

const alongRow = (from: Float32Array, at: number, width: number, half: Float64Array, into: Float32Array): void => {
  const reach = half.length - 1;
  for (let x = 0; x < width; x++) {
    let sum = half[0]! * from[at + x]!;
    if (x >= reach && x + reach < width)
      for (let j = 1; j <= reach; j++) sum += half[j]! * (from[at + x - j]! + from[at + x + j]!);
    else
      for (let j = 1; j <= reach; j++)
        sum += half[j]! * ((x >= j ? from[at + x - j]! : 0) + (x + j < width ? from[at + x + j]! : 0));
    into[at + x] = sum;
  }
};

const addScaled = (row: Float32Array, from: Float32Array, at: number, factor: number, fresh: boolean): void => {
  for (let x = 0; x < row.length; x++) row[x] = factor * from[at + x]! + (fresh ? 0 : row[x]!);
};

const addTwo = (row: Float32Array, from: Float32Array, one: number, other: number, factor: number): void => {
  for (let x = 0; x < row.length; x++) row[x] = row[x]! + factor * (from[one + x]! + from[other + x]!);
};
