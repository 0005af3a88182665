import type { FitsBytes } from './bytes.ts';
import type { Hdu } from './hdu.ts';
import { BLOCK_BYTES, type Header } from './header.ts';

// The checksum convention of the FITS standard 4.0, section 4.4.2.7 and appendix J: a sum of 32-bit words, most
// significant byte first, in ones' complement.

/** Bytes read at a time; the sum of so many words is exact in float64. */
const PIECE = 1 << 20;
/** What an HDU with the right CHECKSUM sums to: minus zero. */
const ALL_ONES = 0xffffffff;
const HALVES = 0x00ff00ff;
/** So many bytes' worth of 0…255 stay below 2^16. */
const LANES = 256;

/** Sums are taken in two lanes of 16 bits each, of the first and third and of the second and fourth bytes. */
const wordSum = (words: Uint32Array): number => {
  const sums = [0, 0, 0, 0];
  for (let from = 0; from < words.length; from += LANES) {
    const to = Math.min(words.length, from + LANES);
    let even = 0;
    let odd = 0;
    for (let i = from; i < to; i++) {
      even += words[i]! & HALVES;
      odd += (words[i]! >>> 8) & HALVES;
    }
    sums[0]! += even & 0xffff;
    sums[1]! += odd & 0xffff;
    sums[2]! += even >>> 16;
    sums[3]! += odd >>> 16;
  }
  return sums[0]! * 2 ** 24 + sums[1]! * 2 ** 16 + sums[2]! * 2 ** 8 + sums[3]!;
};

/** A carry out of the highest bit comes back in at the lowest. */
const folded = (sum: number): number => {
  let rest = sum;
  while (rest > ALL_ONES) rest = (rest % 2 ** 32) + Math.floor(rest / 2 ** 32);
  return rest;
};

/** The sum of everything so far, given that before `bytes` (0 at the start); at most 1 MiB, padded with zeros to words. */
export const addBytes = (before: number, bytes: Uint8Array): number => {
  const whole = bytes.byteOffset % 4 === 0 && bytes.length % 4 === 0;
  const aligned = whole ? bytes : new Uint8Array(Math.ceil(bytes.length / 4) * 4);
  if (!whole) aligned.set(bytes);
  return folded(before + wordSum(new Uint32Array(aligned.buffer, aligned.byteOffset, aligned.length / 4)));
};

const sumOf = async (bytes: FitsBytes, offset: number, length: number, before: number): Promise<number> => {
  // The padding of the last block may be missing: it would be zeros.
  const end = offset + (await bytes.available(offset, length));
  let sum = before;
  for (let at = offset; at < end; at += PIECE) sum = addBytes(sum, await bytes.read(at, Math.min(PIECE, end - at)));
  return sum;
};

const stated = (header: Header, keyword: string): string | undefined => {
  const text = header.byKeyword.get(keyword)?.text.trim();
  // Sixteen zeros stand where the sum has not been computed yet.
  return text === undefined || text === '' || /^0{16}$/.test(text) ? undefined : text;
};

/** Whether an HDU carries a checksum. */
export const hasChecksum = ({ header }: Hdu): boolean =>
  ['DATASUM', 'CHECKSUM'].some((keyword) => stated(header, keyword) !== undefined);

/**
 * What the checksums of an HDU say against it, as warnings: none where they fit. Reads the HDU once, in steps of 1 MiB.
 * @throws LinewashError 'format' as `bytes.read` does.
 */
export const checkSums = async (bytes: FitsBytes, hdu: Hdu): Promise<string[]> => {
  const padded = Math.ceil(hdu.dataBytes / BLOCK_BYTES) * BLOCK_BYTES;
  const data = await sumOf(bytes, hdu.dataOffset, padded, 0);
  const dataSum = stated(hdu.header, 'DATASUM');
  if (dataSum !== undefined && Number(dataSum) !== data)
    return ['DATASUM does not match the pixels: the file was damaged or changed after it was written'];
  if (stated(hdu.header, 'CHECKSUM') === undefined) return [];
  if ((await sumOf(bytes, hdu.start, hdu.dataOffset - hdu.start, data)) === ALL_ONES) return [];
  return dataSum === undefined
    ? ['CHECKSUM does not match: the file was damaged or changed after it was written']
    : ['CHECKSUM does not match, but DATASUM does: the pixels are intact, the header was changed'];
};
