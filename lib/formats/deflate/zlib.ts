import { deflateBlock } from './block.ts';

/** A running compression to a zlib stream (RFC 1950): filtered rows in, bytes out. */
export interface ZlibWriter {
  /** The stream's next bytes, for one block of the picture. */
  block(bytes: Uint8Array): Uint8Array[];
  /** Its last bytes. */
  finish(): Uint8Array;
}

/** Compresses each block on its own (`block.ts`), so that the stream depends on where blocks are cut and nothing else. */
export const zlibWriter = (): ZlibWriter => {
  let sum = 1;
  let head = [Uint8Array.of(0x78, 0x01)];
  return {
    block(bytes) {
      sum = adler32(bytes, sum);
      const parts = [...head, deflateBlock(bytes)];
      head = [];
      return parts;
    },
    finish() {
      // A last, empty block with the fixed code: 3 bits and the 7 of its end.
      const end = Uint8Array.of(3, 0, 0, 0, 0, 0);
      new DataView(end.buffer).setUint32(2, sum);
      return end;
    },
  };
};

/** So many bytes can be added before a sum must be brought back below 2³². */
const STRETCH = 3800;
const BASE = 65521;

/** The checksum of a zlib stream (RFC 1950 §8.2) of bytes that follow others with the sum `before`, as an unsigned number. */
export const adler32 = (bytes: Uint8Array, before = 1): number => {
  let a = before & 0xffff;
  let b = before >>> 16;
  for (let from = 0; from < bytes.length; from += STRETCH) {
    const to = Math.min(bytes.length, from + STRETCH);
    for (let i = from; i < to; i++) {
      a += bytes[i]!;
      b += a;
    }
    a %= BASE;
    b %= BASE;
  }
  return ((b << 16) | a) >>> 0;
};
