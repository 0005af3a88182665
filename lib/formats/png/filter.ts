import type { OutputRows } from '../../plane/picture.ts';

/** PNG filter types (PNG 3rd edition §9.2) that are tried here, by their numbers. Paeth, the fifth, is seldom better. */
const [NONE, SUB, UP, AVERAGE] = [0, 1, 2, 3];

/** At most so many bytes of a row are looked at to choose its filter, in runs of 48. */
const LOOKS = 3072;
/** Runs of 48 bytes hold whole pixels of every kind (3, 4, 6 and 8 bytes), so every byte of a pixel is seen. */
const RUN = 48;

/** Samples as PNG stores them: most significant byte first (§7.1). */
export const bigEndianRow = (rows: OutputRows, start: number, into: Uint8Array): void => {
  if (rows.BYTES_PER_ELEMENT === 1) {
    into.set(rows.subarray(start, start + into.length) as Uint8Array);
    return;
  }
  for (let i = 0, at = 0; at < into.length; i++) {
    const value = rows[start + i]!;
    into[at++] = value >> 8;
    into[at++] = value;
  }
};

/** How often each byte occurs after each filter, 256 counts a filter. */
const histograms = new Uint32Array(4 * 256);

/**
 * n · log₂ n in 2⁻¹⁶ bits for every count there can be. Whole numbers, so that the filter chosen does not depend on the
 * last digit of a platform's logarithm.
 */
export const WEIGHTED = Float64Array.from({ length: LOOKS + 2 * RUN }, (_, n) =>
  n > 1 ? Math.round(65536 * n * Math.log2(n)) : 0,
);

/**
 * The filter whose bytes have the least entropy, Σ n·log₂(total/n), the first of equals. That is what the deflate stage
 * pays for noisy data, where repeats are rare; the usual rule, the least sum of absolute differences, picks Sub even where
 * it only adds the noise of two pixels.
 */
const chooseFilter = (row: Uint8Array, above: Uint8Array, pixelBytes: number): number => {
  histograms.fill(0);
  const skip = Math.max(1, Math.ceil(row.length / LOOKS)) * RUN;
  for (let start = 0; start < row.length; start += skip) {
    const end = Math.min(row.length, start + RUN);
    for (let i = start; i < end; i++) {
      const value = row[i]!;
      const left = i < pixelBytes ? 0 : row[i - pixelBytes]!;
      const up = above[i]!;
      histograms[value]!++;
      histograms[256 + ((value - left) & 255)]!++;
      histograms[512 + ((value - up) & 255)]!++;
      histograms[768 + ((value - ((left + up) >> 1)) & 255)]!++;
    }
  }
  let best = NONE!;
  let most = -1;
  for (let type = NONE!; type <= AVERAGE!; type++) {
    let sum = 0;
    for (let i = 256 * type; i < 256 * (type + 1); i++) sum += WEIGHTED[histograms[i]!]!;
    if (sum <= most) continue;
    most = sum;
    best = type;
  }
  return best;
};

/** Filters one row into `into`, which is a byte longer: the filter's type comes first. */
export const filterRow = (row: Uint8Array, above: Uint8Array, pixelBytes: number, into: Uint8Array): void => {
  const type = chooseFilter(row, above, pixelBytes);
  into[0] = type;
  if (type === NONE) {
    into.set(row, 1);
    return;
  }
  for (let i = 0; i < row.length; i++) {
    const left = type === UP || i < pixelBytes ? 0 : row[i - pixelBytes]!;
    const up = type === SUB ? 0 : above[i]!;
    into[i + 1] = row[i]! - (type === AVERAGE ? (left + up) >> 1 : left + up);
  }
};
