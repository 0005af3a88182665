import { damaged } from './damage.ts';

/**
 * Bits of `bytes`, taken from the last set bit downwards (RFC 8878 §4.1). `at` counts the bits left; it falls below 0 where more
 * is taken than there is, and the bits below are zeros. At least 4 bytes follow the last one in their buffer.
 */
export interface BackBits {
  readonly bytes: Uint8Array;
  readonly start: number;
  at: number;
}

/** Opens bytes [start, end): the highest set bit of the last byte marks where they begin. */
export const backBits = (bytes: Uint8Array, start: number, end: number): BackBits => {
  const last = end > start ? bytes[end - 1]! : 0;
  if (last === 0) damaged('a bit stream without its end mark');
  return { bytes, start, at: 8 * (end - start - 1) + 31 - Math.clz32(last) };
};

/** `count` bits, at most 24, that end at bit `at`. */
const bitsAt = ({ bytes, start }: BackBits, at: number, count: number): number => {
  if (at < 0) {
    const held = at + count;
    if (held <= 0) return 0;
    const i = start;
    const word = bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24);
    return (word & ((1 << held) - 1)) << -at;
  }
  const i = start + (at >> 3);
  const word = bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24);
  return (word >>> (at & 7)) & ((1 << count) - 1);
};

/** The next `count` bits (0 to 24), not taken. */
export const peekBits = (bits: BackBits, count: number): number => bitsAt(bits, bits.at - count, count);

/** Takes `count` bits (0 to 31). */
export const takeBits = (bits: BackBits, count: number): number => {
  if (count > 24) {
    const high = takeBits(bits, count - 16);
    return high * 65536 + takeBits(bits, 16);
  }
  bits.at -= count;
  return bitsAt(bits, bits.at, count);
};
