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

/**
 * The physical values of `count` stored samples, as float64 where the channel is wide, else as float32. Writes up to 63
 * bytes beyond their end. Whoever needs stored samples decoded comes here: only this place knows which forms are quick.
 */
export function decodePhysical(channel: Channel, from: usize, to: usize, count: i32): void {
  if (!areWords(channel)) decodeOneByOne(channel, from, to, count);
  else if (channel.wide) decodeWordsWide(channel, from, to, count);
  else decodeWords(channel, from, to, count);
}

/** 16-bit integers whose physical values are integers below 2²⁴, which float32 holds exactly. */
@inline
function areWords(channel: Channel): bool {
  if (channel.type != UINT16 && channel.type != INT16) return false;
  if (channel.scale != 1 || channel.blank == channel.blank) return false;
  return channel.zero == floor(channel.zero) && abs(channel.zero) <= 8388608;
}

function decodeOneByOne(channel: Channel, from: usize, to: usize, count: i32): void {
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

/** Swaps the bytes of each 16-bit word where `bigEndian`. */
@inline
function order16(bigEndian: bool): v128 {
  return bigEndian
    ? i8x16(1, 0, 3, 2, 5, 4, 7, 6, 9, 8, 11, 10, 13, 12, 15, 14)
    : i8x16(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15);
}

@inline
function lowHalf(words: v128, signed: bool): v128 {
  return signed ? i32x4.extend_low_i16x8_s(words) : i32x4.extend_low_i16x8_u(words);
}

@inline
function highHalf(words: v128, signed: bool): v128 {
  return signed ? i32x4.extend_high_i16x8_s(words) : i32x4.extend_high_i16x8_u(words);
}

function decodeWords(channel: Channel, from: usize, to: usize, count: i32): void {
  const order = order16(channel.bigEndian);
  const signed = channel.type == INT16;
  const zero = f32x4.splat(<f32>channel.zero);
  for (let i = 0; i < count; i += 8) {
    const words = i8x16.swizzle(v128.load(from + (<usize>i << 1)), order);
    const at = to + (<usize>i << 2);
    v128.store(at, f32x4.add(f32x4.convert_i32x4_s(lowHalf(words, signed)), zero));
    v128.store(at, f32x4.add(f32x4.convert_i32x4_s(highHalf(words, signed)), zero), 16);
  }
}

function decodeWordsWide(channel: Channel, from: usize, to: usize, count: i32): void {
  const order = order16(channel.bigEndian);
  const signed = channel.type == INT16;
  const zero = f64x2.splat(channel.zero);
  for (let i = 0; i < count; i += 8) {
    const words = i8x16.swizzle(v128.load(from + (<usize>i << 1)), order);
    const at = to + (<usize>i << 3);
    storeWide(at, lowHalf(words, signed), zero);
    storeWide(at + 32, highHalf(words, signed), zero);
  }
}

@inline
function storeWide(at: usize, four: v128, zero: v128): void {
  const upper = v128.shuffle<u64>(four, four, 1, 1);
  v128.store(at, f64x2.add(f64x2.convert_low_i32x4_s(four), zero));
  v128.store(at, f64x2.add(f64x2.convert_low_i32x4_s(upper), zero), 16);
}
