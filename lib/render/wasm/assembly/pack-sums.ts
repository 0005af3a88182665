// Checksums: see lib/formats/crc32.ts and lib/formats/deflate/zlib.ts.

const tables: usize = memory.data(8 * 256 * 4, 16);
let filled: bool = false;

/** For a byte with so many bytes behind it: what it adds to the sum. */
function fill(): void {
  for (let n: u32 = 0; n < 256; n++) {
    let c = n;
    for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
    store<u32>(tables + (n << 2), c);
  }
  for (let k = 1; k < 8; k++)
    for (let n = 0; n < 256; n++) {
      const before = load<u32>(tables + (((k - 1) << 10) | (n << 2)));
      store<u32>(tables + ((k << 10) | (n << 2)), (before >>> 8) ^ load<u32>(tables + ((before & 255) << 2)));
    }
  filled = true;
}

@inline
function entry(k: i32, byte: u32): u32 {
  return load<u32>(tables + ((k << 10) | ((byte & 255) << 2)));
}

export function crc32(at: usize, count: i32): u32 {
  return crc32After(at, count, 0);
}

/** Of bytes that follow others with the sum `before`. */
export function crc32After(at: usize, count: i32, before: u32): u32 {
  if (!filled) fill();
  let crc = ~before;
  let i = 0;
  for (; i + 8 <= count; i += 8) {
    const low = load<u32>(at + i) ^ crc;
    const high = load<u32>(at + i, 4);
    crc = entry(7, low) ^ entry(6, low >>> 8) ^ entry(5, low >>> 16) ^ entry(4, low >>> 24);
    crc ^= entry(3, high) ^ entry(2, high >>> 8) ^ entry(1, high >>> 16) ^ entry(0, high >>> 24);
  }
  for (; i < count; i++) crc = (crc >>> 8) ^ entry(0, crc ^ load<u8>(at + i));
  return ~crc;
}

/** Bytes after which both sums are brought back: a multiple of 16, few enough for 32 bits. */
const STRETCH: i32 = 3792;
const BASE: u32 = 65521;

@inline
function sumOf(v: v128): u32 {
  return (
    i32x4.extract_lane(v, 0) + i32x4.extract_lane(v, 1) + i32x4.extract_lane(v, 2) + i32x4.extract_lane(v, 3)
  );
}

/** Of bytes that follow others with the sum `before`. */
export function adler32(at: usize, count: i32, before: u32): u32 {
  let a = before & 0xffff;
  let b = before >>> 16;
  const first = i16x8(16, 15, 14, 13, 12, 11, 10, 9);
  const second = i16x8(8, 7, 6, 5, 4, 3, 2, 1);
  for (let from = 0; from < count; from += STRETCH) {
    const to = min(count, from + STRETCH);
    let sums = i32x4.splat(0);
    // Of what is before each sixteen bytes, and of their own sums of sums.
    let earlier = i32x4.splat(0);
    let own = i32x4.splat(0);
    let i = from;
    for (; i + 16 <= to; i += 16) {
      const some = v128.load(at + i);
      earlier = i32x4.add(earlier, sums);
      sums = i32x4.add(sums, i32x4.extadd_pairwise_i16x8_u(i16x8.extadd_pairwise_i8x16_u(some)));
      own = i32x4.add(own, i32x4.dot_i16x8_s(i16x8.extend_low_i8x16_u(some), first));
      own = i32x4.add(own, i32x4.dot_i16x8_s(i16x8.extend_high_i8x16_u(some), second));
    }
    b += <u32>(i - from) * a + 16 * sumOf(earlier) + sumOf(own);
    a += sumOf(sums);
    for (; i < to; i++) {
      a += load<u8>(at + i);
      b += a;
    }
    a %= BASE;
    b %= BASE;
  }
  return (b << 16) | a;
}
