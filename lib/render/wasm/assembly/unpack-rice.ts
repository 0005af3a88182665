// RICE_1: see lib/formats/fits/rice.ts, where it is written plainly and explained.

/**
 * Decodes `count` pixels of `length` bytes at `input`, behind which 16 bytes must be zero, to i32 at `to`.
 * @returns whether the bytes suffice and are such a code
 */
export function decodeRice(
  input: usize,
  length: i32,
  count: i32,
  blockSize: i32,
  bytesPerPixel: i32,
  to: usize,
): bool {
  const parameterBits = bytesPerPixel == 1 ? 3 : bytesPerPixel == 2 ? 4 : 5;
  const uncoded = bytesPerPixel == 1 ? 6 : bytesPerPixel == 2 ? 14 : 25;
  const pixelBits = 8 * bytesPerPixel;
  const spare = 32 - pixelBits;
  const kept = bytesPerPixel == 1 ? 0xff : -1;
  if (length < bytesPerPixel) return false;
  let last = 0;
  for (let i = 0; i < bytesPerPixel; i++) last = (last << 8) | load<u8>(input + i);
  const end = input + length;
  let at = input + bytesPerPixel;
  // The highest `held` bits of the buffer are yet unread.
  let buffer: u64 = 0;
  let held = 0;
  for (let i = 0; i < count; ) {
    const blockEnd = min(count, i + blockSize);
    // Past the end only zeros are read, and no further than 16 bytes.
    if (at > end + 8) return false;
    buffer |= bswap(load<u64>(at)) >>> held;
    at += (63 - held) >> 3;
    held |= 56;
    const shift = <i32>(buffer >>> (64 - parameterBits)) - 1;
    buffer <<= parameterBits;
    held -= parameterBits;
    if (shift > uncoded) return false;
    for (; i < blockEnd; i++) {
      let mapped: u32 = 0;
      if (shift >= 0) {
        if (at > end + 8) return false;
        buffer |= bswap(load<u64>(at)) >>> held;
        at += (63 - held) >> 3;
        held |= 56;
        if (shift == uncoded) {
          mapped = <u32>(buffer >>> (64 - pixelBits));
          buffer <<= pixelBits;
          held -= pixelBits;
        } else {
          let high: u32 = 0;
          let zeros = <i32>clz(buffer);
          while (zeros >= held) {
            high += held;
            buffer <<= held;
            held = 0;
            if (at > end + 8) return false;
            buffer = bswap(load<u64>(at));
            at += 7;
            held = 56;
            zeros = <i32>clz(buffer);
          }
          high += zeros;
          buffer <<= zeros;
          buffer <<= 1;
          held -= zeros + 1;
          if (held < shift) {
            if (at > end + 8) return false;
            buffer |= bswap(load<u64>(at)) >>> held;
            at += (63 - held) >> 3;
            held |= 56;
          }
          // In two steps: a shift by 64 is one by 0.
          mapped = (high << shift) | <u32>(buffer >>> 1 >>> (63 - shift));
          buffer <<= shift;
          held -= shift;
        }
      }
      last = ((last + <i32>(mapped & 1 ? ~(mapped >>> 1) : mapped >>> 1)) << spare) >> spare;
      store<i32>(to + (<usize>i << 2), last & kept);
    }
    if (at - (held >> 3) > end) return false;
  }
  return true;
}
