import type { Grid } from './gauss.ts';

/**
 * A rectangle smoothed by a symmetric kernel along both axes, its border repeated outwards. Every operation is float32: sums
 * begin with the middle, and take in both neighbours at a time.
 * @param kernel half of it, the middle first, float32 values
 */
export const plainBlur = (values: Float32Array, { width, height }: Grid, kernel: Float32Array): Float32Array => {
  const out = new Float32Array(values.length);
  const row = new Float32Array(width);
  const inside = (i: number, size: number) => Math.max(0, Math.min(size - 1, i));
  const weighted = (at: (i: number) => number): number => {
    let sum = Math.fround(kernel[0]! * at(0));
    for (let t = 1; t < kernel.length; t++)
      sum = Math.fround(sum + Math.fround(kernel[t]! * Math.fround(at(-t) + at(t))));
    return sum;
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) row[x] = weighted((t) => values[inside(y + t, height) * width + x]!);
    for (let x = 0; x < width; x++) out[y * width + x] = weighted((t) => row[inside(x + t, width)]!);
  }
  return out;
};
