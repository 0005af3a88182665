import { Channel, FLOAT32, FLOAT64, INT8, INT16, INT32, UINT8, UINT16 } from './channel';

/** Bytes of one stored sample. */
export function sampleBytes(type: i32): i32 {
  if (type == UINT8 || type == INT8) return 1;
  if (type == UINT16 || type == INT16) return 2;
  return type == FLOAT64 ? 8 : 4;
}

/** Swaps the bytes of each 32-bit lane where `bigEndian`, else leaves all as it is. */
@inline
export function order32(bigEndian: bool): v128 {
  return bigEndian
    ? i8x16(3, 2, 1, 0, 7, 6, 5, 4, 11, 10, 9, 8, 15, 14, 13, 12)
    : i8x16(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);
}

/** The stored sample at an address as a number. */
@inline
function stored(at: usize, type: i32, big: bool): f64 {
  if (type == UINT8) return <f64>load<u8>(at);
  if (type == INT8) return <f64>load<i8>(at);
  if (type == UINT16) return <f64>(big ? bswap<u16>(load<u16>(at)) : load<u16>(at));
  if (type == INT16) return <f64>(<i16>(big ? bswap<u16>(load<u16>(at)) : load<u16>(at)));
  if (type == FLOAT64) return reinterpret<f64>(big ? bswap<u64>(load<u64>(at)) : load<u64>(at));
  const word = big ? bswap<u32>(load<u32>(at)) : load<u32>(at);
  if (type == INT32) return <f64>(<i32>word);
  if (type == FLOAT32) return <f64>reinterpret<f32>(word);
  return <f64>word;
}

/** Physical values, as float64 where the channel is wide, else as float32. */
export function decodeAny(channel: Channel, from: usize, to: usize, count: i32): void {
  const type = channel.type;
  const big = channel.bigEndian;
  const bytes = <usize>sampleBytes(type);
  const zero = channel.zero;
  const scale = channel.scale;
  const blank = channel.blank;
  const wide = channel.wide;
  const rounded = channel.rounded;
  for (let i = 0; i < count; i++) {
    const raw = stored(from, type, big);
    from += bytes;
    const value = raw == blank ? NaN : zero + scale * raw;
    if (wide) store<f64>(to + (<usize>i << 3), rounded ? <f64>(<f32>value) : value);
    else store<f32>(to + (<usize>i << 2), <f32>value);
  }
}

/** 16-bit integers, unsigned where stored so or where `zero` is 32768, without blanks. */
export function decode16(channel: Channel, from: usize, to: usize, count: i32): void {
  const order = channel.bigEndian
    ? i8x16(1, 0, 3, 2, 5, 4, 7, 6, 9, 8, 11, 10, 13, 12, 15, 14)
    : i8x16(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);
  const signed = channel.type == INT16;
  const zero = f32x4.splat(<f32>channel.zero);
  for (let i = 0; i < count; i += 8) {
    const words = i8x16.swizzle(v128.load(from + (<usize>i << 1)), order);
    const low = signed ? i32x4.extend_low_i16x8_s(words) : i32x4.extend_low_i16x8_u(words);
    const high = signed ? i32x4.extend_high_i16x8_s(words) : i32x4.extend_high_i16x8_u(words);
    const at = to + (<usize>i << 2);
    v128.store(at, f32x4.add(f32x4.convert_i32x4_s(low), zero));
    v128.store(at, f32x4.add(f32x4.convert_i32x4_s(high), zero), 16);
  }
}
