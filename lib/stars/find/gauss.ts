/** Half of a Gaussian kernel, middle first, cut off at four deviations, as sums of 1; float32 values. */
export const gaussKernel = (deviation: number): Float32Array => {
  const half = Float64Array.from({ length: gaussReach(deviation) + 1 }, (_, i) =>
    Math.exp(-0.5 * (i / deviation) ** 2),
  );
  const sum = 2 * half.reduce((a, b) => a + b) - half[0]!;
  return Float32Array.from(half, (weight) => weight / sum);
};

/** Pixels on each side that a Gaussian kernel takes in. */
export const gaussReach = (deviation: number): number => Math.ceil(4 * deviation);

/** Values of a rectangle, row by row. */
export interface Grid {
  readonly width: number;
  readonly height: number;
}
