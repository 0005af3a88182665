/** A picture's size in pixels. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

/**
 * Mean over (2r + 1)² pixels, fewer at the edges, by running sums.
 * @param across room for as many values
 */
export const boxMean = (
  values: Float32Array,
  { width, height }: Size,
  r: number,
  across: Float32Array,
  into: Float32Array,
): void => {
  for (let y = 0; y < height; y++) runningMean(values, across, { start: y * width, step: 1, length: width }, r);
  for (let x = 0; x < width; x++) runningMean(across, into, { start: x, step: width, length: height }, r);
};

interface Line {
  readonly start: number;
  readonly step: number;
  readonly length: number;
}

const runningMean = (from: Float32Array, to: Float32Array, { start, step, length }: Line, r: number) => {
  let sum = 0;
  for (let k = 0; k < Math.min(r, length); k++) sum += from[start + k * step]!;
  for (let k = 0; k < length; k++) {
    if (k + r < length) sum += from[start + (k + r) * step]!;
    if (k - r > 0) sum -= from[start + (k - r - 1) * step]!;
    to[start + k * step] = sum / (Math.min(length - 1, k + r) - Math.max(0, k - r) + 1);
  }
};

/**
 * The kernel 1 4 6 4 1 along both axes (a Gaussian of width 1, nearly), in place. Two pixels along the edge are left
 * without a meaning of their own.
 */
export const smoothed = (values: Float32Array, { width, height }: Size, across: Float32Array): void => {
  const length = width * height;
  across.fill(0);
  for (let i = 2; i < length - 2; i++)
    across[i] = (values[i - 2]! + values[i + 2]! + 4 * (values[i - 1]! + values[i + 1]!) + 6 * values[i]!) / 16;
  for (let i = 2 * width; i < length - 2 * width; i++)
    values[i] =
      (across[i - 2 * width]! +
        across[i + 2 * width]! +
        4 * (across[i - width]! + across[i + width]!) +
        6 * across[i]!) /
      16;
};

/**
 * How much a point stands out along every direction: the smaller of the two principal curvatures where both bend down,
 * else 0. A star has it; an ionization front, which lies elsewhere in every line, bends along one direction only.
 */
export const roundness = (values: Float32Array, { width, height }: Size, into: Float32Array): void => {
  into.fill(0);
  for (let y = 1; y < height - 1; y++)
    for (let x = 1, i = y * width + 1; x < width - 1; x++, i++) {
      const twice = 2 * values[i]!;
      const xx = values[i - 1]! + values[i + 1]! - twice;
      const yy = values[i - width]! + values[i + width]! - twice;
      const xy =
        (values[i - width - 1]! + values[i + width + 1]! - values[i - width + 1]! - values[i + width - 1]!) / 4;
      const half = (xx - yy) / 2;
      into[i] = Math.max(0, -(xx + yy) / 2 - Math.sqrt(half * half + xy * xy));
    }
};
