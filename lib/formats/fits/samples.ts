import type { Samples } from '../../plane/plane.ts';
import type { Scaling } from './scaling.ts';

// Every JavaScript engine in use runs little-endian, and WebAssembly demands it; FITS is big-endian.

/** Reverses the bytes of each 16-bit word in place. */
export const swap16 = (words: Uint16Array): void => {
  for (let i = 0; i < words.length; i++) {
    const w = words[i]!;
    words[i] = (w << 8) | (w >>> 8);
  }
};

/** Reverses the bytes of each 32-bit word in place. */
export const swap32 = (words: Uint32Array): void => {
  for (let i = 0; i < words.length; i++) {
    const w = words[i]!;
    // First the bytes of each half, then the halves: two operations less than byte by byte.
    const halves = ((w & 0xff00ff) << 8) | ((w >>> 8) & 0xff00ff);
    words[i] = (halves << 16) | (halves >>> 16);
  }
};

/** Reverses the bytes of each 64-bit word in place; `words` holds them as pairs of 32 bits. */
export const swap64 = (words: Uint32Array): void => {
  swap32(words);
  for (let i = 0; i + 1 < words.length; i += 2) {
    const first = words[i]!;
    words[i] = words[i + 1]!;
    words[i + 1] = first;
  }
};

/** Turns `count` big-endian samples of `size` bytes at the start of `buffer` into the machine's order, in place. */
export const swapSamples = (buffer: ArrayBuffer, offset: number, count: number, size: number): void => {
  if (size === 2) swap16(new Uint16Array(buffer, offset, count));
  else if (size === 4) swap32(new Uint32Array(buffer, offset, count));
  else if (size === 8) swap64(new Uint32Array(buffer, offset, count * 2));
};

/** Stored numbers of at most 53 bits. */
export type Stored = Uint8Array | Int16Array | Int32Array | Float32Array | Float64Array;

/** into[at + i] = zero + scale · stored[i], NaN where stored[i] is `blank`; computed in float64, rounded once on store. */
export const scaleSamples = (stored: Stored, count: number, scaling: Scaling, into: Samples, at: number): void => {
  const { zero, scale } = scaling;
  const blank = scaling.blank === undefined ? undefined : Number(scaling.blank);
  if (blank !== undefined) {
    for (let i = 0; i < count; i++) into[at + i] = stored[i] === blank ? Number.NaN : zero + scale * stored[i]!;
  } else if (zero === 0 && scale === 1) {
    for (let i = 0; i < count; i++) into[at + i] = stored[i]!;
  } else {
    for (let i = 0; i < count; i++) into[at + i] = zero + scale * stored[i]!;
  }
};

/**
 * As `scaleSamples` for 64-bit integers, given as pairs of 32 bits, low word first.
 * The integer is rounded once to float64; with BZERO 2^63 and BSCALE 1 the unsigned value is formed before rounding.
 */
export const scaleSamples64 = (
  words: Uint32Array,
  count: number,
  scaling: Scaling,
  into: Samples,
  at: number,
): void => {
  const unsigned = scaling.zero === 2 ** 63 && scaling.scale === 1;
  const blank = BigInt.asUintN(64, scaling.blank ?? 0n);
  const blankLow = scaling.blank === undefined ? -1 : Number(blank & 0xffffffffn);
  const blankHigh = Number(blank >> 32n);
  const zero = unsigned ? 0 : scaling.zero;
  for (let i = 0; i < count; i++) {
    const low = words[2 * i]!;
    const high = words[2 * i + 1]!;
    const value = (unsigned ? (high ^ 0x80000000) >>> 0 : high | 0) * 2 ** 32 + low;
    into[at + i] = low === blankLow && high === blankHigh ? Number.NaN : zero + scaling.scale * value;
  }
};
