import type { OutputRows } from '../../plane/picture.ts';

/** PNG filter types (PNG 3rd edition §9.2) that are tried here. */
const NONE = 0;
const SUB = 1;
const UP = 2;

/** At most so many bytes of a row are looked at to choose its filter. */
const LOOKS = 3072;

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

const histogram = new Int32Array(256);

/** Σ n·log₂(total/n) over the byte histogram: bits an ideal Huffman code would take for the bytes looked at. */
const bits = (total: number): number => {
  let sum = total * Math.log2(total);
  for (let i = 0; i < 256; i++) {
    const n = histogram[i]!;
    if (n > 1) sum -= n * Math.log2(n);
  }
  return sum;
};

/** The cost of a row whose byte at i has `reference[i - back]` subtracted. */
const cost = (row: Uint8Array, reference: Uint8Array | undefined, back: number): number => {
  // Runs of 48 bytes hold whole pixels of every kind (3, 4, 6 and 8 bytes), so every byte of a pixel is seen.
  const skip = Math.max(1, Math.ceil(row.length / LOOKS)) * 48;
  let total = 0;
  histogram.fill(0);
  for (let start = back; start < row.length; start += skip) {
    const end = Math.min(row.length, start + 48);
    for (let i = start; i < end; i++) {
      const value = reference === undefined ? row[i]! : row[i]! - reference[i - back]!;
      histogram[value & 0xff]!++;
    }
    total += end - start;
  }
  return total === 0 ? 0 : bits(total);
};

/**
 * Filters one row into `into` (a byte longer: the filter's type comes first). Of none, Sub and Up the one is taken whose
 * bytes have the least entropy. That is what the deflate stage pays for noisy data, where repeats are rare; the usual
 * rule, the least sum of absolute differences, picks Sub even where it only adds the noise of two pixels.
 */
export const filterRow = (row: Uint8Array, above: Uint8Array, pixelBytes: number, into: Uint8Array): void => {
  const plain = cost(row, undefined, 0);
  const sub = cost(row, row, pixelBytes);
  const up = cost(row, above, 0);
  const type = plain <= sub && plain <= up ? NONE : sub <= up ? SUB : UP;
  into[0] = type;
  into.set(row, 1);
  if (type === SUB) for (let i = pixelBytes; i < row.length; i++) into[i + 1] = row[i]! - row[i - pixelBytes]!;
  else if (type === UP) for (let i = 0; i < row.length; i++) into[i + 1] = row[i]! - above[i]!;
};
