/**
 * Fourier transforms of square pictures whose side is a power of two: tables that are made once and used for every tile.
 */
export interface Fourier {
  readonly size: number;
  readonly cosines: Float64Array;
  readonly sines: Float64Array;
  /** Where each index goes when the order of its bits is turned round. */
  readonly order: Uint32Array;
}

/** @throws RangeError unless `size` is a power of two of at least 2. */
export const createFourier = (size: number): Fourier => {
  const bits = Math.log2(size);
  if (!Number.isInteger(bits) || bits < 1)
    throw new RangeError(`the side of a transform is a power of two, not ${size}`);
  const half = size / 2;
  const order = new Uint32Array(size);
  for (let i = 1; i < size; i++) order[i] = (order[i >> 1]! >> 1) | (i & 1 ? half : 0);
  return {
    size,
    cosines: Float64Array.from({ length: half }, (_, k) => Math.cos((2 * Math.PI * k) / size)),
    sines: Float64Array.from({ length: half }, (_, k) => Math.sin((2 * Math.PI * k) / size)),
    order,
  };
};

/**
 * Forward transform Σ z·exp(−2πi(ux + vy)/n) of a complex picture, in place, unscaled.
 * The spectrum is left *transposed* (index u·n + v), which saves half of the turning; `inverse` expects it so.
 */
export const forward = (fourier: Fourier, re: Float64Array, im: Float64Array): void => {
  columns(fourier, re, im);
  transposeSquare(re, fourier.size);
  transposeSquare(im, fourier.size);
  columns(fourier, re, im);
};

/** The inverse of `forward`, without its factor 1/n². */
export const inverse = (fourier: Fourier, re: Float64Array, im: Float64Array): void => {
  // Exchanging the parts before and after turns the forward transform into the inverse one.
  forward(fourier, im, re);
};

/**
 * All columns at once by decimation in time, radix 2 (J. W. Cooley & J. W. Tukey, Math. Comp. 19, 297–301, 1965): each
 * butterfly takes two whole rows, which lie side by side in memory and share their factor.
 */
const columns = ({ size, cosines, sines, order }: Fourier, re: Float64Array, im: Float64Array): void => {
  for (let i = 0; i < size; i++) {
    const j = order[i]!;
    if (j <= i) continue;
    swapRows(re, i * size, j * size, size);
    swapRows(im, i * size, j * size, size);
  }
  for (let half = 1; half < size; half *= 2) {
    const step = size / (2 * half);
    for (let k = 0; k < half; k++)
      for (let i = k; i < size; i += 2 * half)
        butterfly(re, im, i * size, (i + half) * size, size, cosines[k * step]!, sines[k * step]!);
  }
};

const butterfly = (
  re: Float64Array,
  im: Float64Array,
  i: number,
  j: number,
  size: number,
  c: number,
  s: number,
): void => {
  for (let x = 0; x < size; x++, i++, j++) {
    const r = c * re[j]! + s * im[j]!;
    const m = c * im[j]! - s * re[j]!;
    re[j] = re[i]! - r;
    im[j] = im[i]! - m;
    re[i] = re[i]! + r;
    im[i] = im[i]! + m;
  }
};

const swapRows = (a: Float64Array, i: number, j: number, size: number): void => {
  for (let x = 0; x < size; x++, i++, j++) {
    const v = a[i]!;
    a[i] = a[j]!;
    a[j] = v;
  }
};

const transposeSquare = (a: Float64Array, n: number): void => {
  for (let y = 0; y < n; y++)
    for (let x = y + 1; x < n; x++) {
      const v = a[y * n + x]!;
      a[y * n + x] = a[x * n + y]!;
      a[x * n + y] = v;
    }
};
