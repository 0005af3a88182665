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
 * All columns at once by decimation in time, radix 4 after a radix 2 where the number of bits is odd (J. W. Cooley &
 * J. W. Tukey, Math. Comp. 19, 297–301, 1965): each butterfly takes four whole rows, which share their factors.
 */
const columns = ({ size, cosines, sines, order }: Fourier, re: Float64Array, im: Float64Array): void => {
  for (let i = 0; i < size; i++) {
    const j = order[i]!;
    if (j <= i) continue;
    swapRows(re, i * size, j * size, size);
    swapRows(im, i * size, j * size, size);
  }
  let quarter = 1;
  if (Math.log2(size) % 2 === 1) {
    for (let i = 0; i < size; i += 2) {
      sumAndDifference(re, i * size, size);
      sumAndDifference(im, i * size, size);
    }
    quarter = 2;
  }
  for (; quarter < size; quarter *= 4)
    for (let k = 0; k < quarter; k++) {
      const once = (k * size) / (4 * quarter);
      const [c1, s1, c2, s2] = [cosines[once]!, sines[once]!, cosines[2 * once]!, sines[2 * once]!];
      for (let i = k; i < size; i += 4 * quarter) butterfly(re, im, i * size, quarter * size, size, c1, s1, c2, s2);
    }
};

/** Rows i and i + n, the butterfly whose factor is 1. */
const sumAndDifference = (a: Float64Array, i: number, n: number): void => {
  for (const end = i + n; i < end; i++) {
    const p = a[i]!;
    const q = a[i + n]!;
    a[i] = p + q;
    a[i + n] = p - q;
  }
};

/** Four rows, `apart` places from one to the next; factors of the rows 0, 1, 2, 3 are 1, w², w and w³, w = c1 − i·s1. */
const butterfly = (
  re: Float64Array,
  im: Float64Array,
  i: number,
  apart: number,
  size: number,
  c1: number,
  s1: number,
  c2: number,
  s2: number,
): void => {
  const c3 = c1 * c2 - s1 * s2;
  const s3 = s1 * c2 + c1 * s2;
  let j = i + apart;
  let k = j + apart;
  let l = k + apart;
  for (const end = i + size; i < end; i++, j++, k++, l++) {
    const r1 = c2 * re[j]! + s2 * im[j]!;
    const m1 = c2 * im[j]! - s2 * re[j]!;
    const r2 = c1 * re[k]! + s1 * im[k]!;
    const m2 = c1 * im[k]! - s1 * re[k]!;
    const r3 = c3 * re[l]! + s3 * im[l]!;
    const m3 = c3 * im[l]! - s3 * re[l]!;
    const ra = re[i]! + r1;
    const ma = im[i]! + m1;
    const rb = re[i]! - r1;
    const mb = im[i]! - m1;
    re[i] = ra + (r2 + r3);
    im[i] = ma + (m2 + m3);
    re[k] = ra - (r2 + r3);
    im[k] = ma - (m2 + m3);
    re[j] = rb + (m2 - m3);
    im[j] = mb - (r2 - r3);
    re[l] = rb - (m2 - m3);
    im[l] = mb + (r2 - r3);
  }
};

const swapRows = (a: Float64Array, i: number, j: number, size: number): void => {
  for (let x = 0; x < size; x++, i++, j++) {
    const v = a[i]!;
    a[i] = a[j]!;
    a[j] = v;
  }
};

/** Side of the blocks in which a square is transposed, so that both ends of an exchange stay in the cache. */
const BLOCK = 16;

const transposeSquare = (a: Float64Array, n: number): void => {
  for (let top = 0; top < n; top += BLOCK)
    for (let left = top; left < n; left += BLOCK)
      for (let y = top; y < Math.min(n, top + BLOCK); y++)
        for (let x = Math.max(left, y + 1); x < Math.min(n, left + BLOCK); x++) {
          const v = a[y * n + x]!;
          a[y * n + x] = a[x * n + y]!;
          a[x * n + y] = v;
        }
};
