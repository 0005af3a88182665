// A zlib stream (RFC 1950) of blocks that are compressed apart (`block.ts`), so that it depends on where blocks are cut and
// nothing else.

/** What begins a stream: deflate with a window of 32 KiB. */
export const ZLIB_HEAD = Uint8Array.of(0x78, 0x01);

/** What ends a stream of blocks: a last, empty block with the fixed code (3 bits and the 7 of its end), and the checksum. */
export const zlibEnd = (sum: number): Uint8Array => {
  const end = Uint8Array.of(3, 0, 0, 0, 0, 0);
  new DataView(end.buffer).setUint32(2, sum);
  return end;
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

/**
 * The checksum of bytes that follow others, from the sums of both and the number `length` of those that follow: with
 * s = 1 + Σ xᵢ and t = Σ sᵢ, both sums of the whole are linear in those of the parts.
 */
export const joinAdler32 = (before: number, after: number, length: number): number => {
  const [a1, b1] = [before & 0xffff, before >>> 16];
  const [a2, b2] = [after & 0xffff, after >>> 16];
  const a = (a1 + a2 - 1 + BASE) % BASE;
  const b = (b1 + b2 + (length % BASE) * (a1 - 1 + BASE)) % BASE;
  return ((b << 16) | a) >>> 0;
};
