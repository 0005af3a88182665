import { blur } from './blur.ts';
import type { Size } from './smooth.ts';

/** How much of a Gaussian about each pixel lies on pixels that hold data, 0…1. */
export interface Cover {
  /** The same for a wider Gaussian: this one blurred by another of `sigma`. */
  widened(sigma: number): Cover;
  /** Values of one row; kept until the next call. */
  row(y: number): Float32Array;
}

/** @param known 1 where there is data, else 0 */
export const coverOf = (known: Float32Array, size: Size): Cover =>
  known.every((k) => k === 1)
    ? wholeCover(new Float32Array(size.width).fill(1), new Float32Array(size.height).fill(1))
    : tornCover(known, size);

/** Where only the frame's edges cut, the cover is the product of one along each axis. */
const wholeCover = (across: Float32Array, down: Float32Array): Cover => {
  const row = new Float32Array(across.length);
  return {
    widened: (sigma) => wholeCover(blurredLine(across, sigma), blurredLine(down, sigma)),
    row(y) {
      for (let x = 0; x < row.length; x++) row[x] = across[x]! * down[y]!;
      return row;
    },
  };
};

/** A line as a picture of one column: across it nothing is left but the middle of the kernel, which is taken out. */
const blurredLine = (line: Float32Array, sigma: number): Float32Array => {
  const into = new Float32Array(line.length);
  blur(line, { width: line.length, height: 1 }, sigma, new Float32Array(line.length), into);
  const middle = new Float32Array(1);
  blur(Float32Array.of(1), { width: 1, height: 1 }, sigma, new Float32Array(1), middle);
  return into.map((v) => v / Math.sqrt(middle[0]!));
};

const tornCover = (values: Float32Array, size: Size): Cover => ({
  widened(sigma) {
    const into = new Float32Array(values.length);
    blur(values, size, sigma, new Float32Array(values.length), into);
    return tornCover(into, size);
  },
  row: (y) => values.subarray(y * size.width, (y + 1) * size.width),
});
