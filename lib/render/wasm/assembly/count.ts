// Counting for exact order statistics: a module of its own. Bits of a float32, with the sign folded in, sort like the
// number.
import { addKey, keysOf, refineFour, refineKey } from './bins';
import { BLOCK, Channel, channelAt, FLOAT32, physical } from './channel';
import { decodePhysical, order32, sampleBytes } from './decode';

export { setTables, sumBlocks, takeCarries } from './bins';
export { flatten, setLine } from './flatten';

let pedestal: f64 = 0;
let missing: u32 = 0;
let zeros: u32 = 0;

export function setSamples(
  type: i32,
  bigEndian: bool,
  wide: bool,
  scaled: bool,
  zero: f64,
  scale: f64,
  blank: f64,
  takenOff: f64,
): void {
  const channel = channelAt(0);
  channel.type = type;
  channel.bigEndian = bigEndian;
  channel.wide = wide;
  channel.rounded = !wide;
  channel.scaled = scaled;
  channel.zero = zero;
  channel.scale = scale;
  channel.blank = blank;
  pedestal = takenOff;
  missing = 0;
  zeros = 0;
}

/** Values without data, and exact zeros, since `setSamples`. */
export function missingCount(): u32 {
  return missing;
}
export function zeroCount(): u32 {
  return zeros;
}

/** Whether samples are float32 but for the order of their bytes. */
@inline
function isPlain(channel: Channel): bool {
  return !channel.scaled && !channel.wide && channel.type == FLOAT32;
}

/**
 * Physical values as float32, little-endian; not for wide samples. Writes up to 28 bytes beyond their end.
 */
export function decode(from: usize, to: usize, samples: i32): void {
  const channel = channelAt(0);
  if (!isPlain(channel)) return decodePhysical(channel, from, to, samples);
  const order = order32(channel.bigEndian);
  for (let at: usize = 0; at < <usize>samples << 2; at += 16) v128.store(to + at, i8x16.swizzle(v128.load(from + at), order));
}

/** Takes a number off decoded values, in float64. */
export function takeOff(at: usize, samples: i32, number: f64): void {
  for (const end = at + (<usize>samples << 2); at < end; at += 4) store<f32>(at, <f32>(<f64>load<f32>(at) - number));
}

/** Where a block's float32 values lie after decoding; plain ones stay as stored. */
function valuesOf(channel: Channel, from: usize, count: i32): usize {
  decodePhysical(channel, from, physical, count);
  if (channel.wide)
    for (let i = 0; i < count; i++)
      store<f32>(physical + (<usize>i << 2), <f32>(load<f64>(physical + (<usize>i << 3)) - pedestal));
  return physical;
}

/** Not inlined: few values are alone, or beside one without data. */
function one(bits: u32, key: u32, refining: bool): void {
  if ((bits & 0x7f800000) == 0x7f800000) {
    missing++;
    return;
  }
  if (refining) refineKey(key);
  else addKey(key);
}

@inline
function four(keys: v128, refining: bool): void {
  if (refining) {
    refineFour(keys);
  } else {
    addKey(i32x4.extract_lane(keys, 0));
    addKey(i32x4.extract_lane(keys, 1));
    addKey(i32x4.extract_lane(keys, 2));
    addKey(i32x4.extract_lane(keys, 3));
  }
}

@inline
function pass(from: usize, samples: i32, decoded: bool, refining: bool): void {
  const channel = channelAt(0);
  const plain = decoded || isPlain(channel);
  const swapped = !decoded && plain && channel.bigEndian;
  const bytes = decoded ? 4 : <usize>sampleBytes(channel.type);
  const order = order32(swapped);
  const infinity = f32x4.splat(Infinity);
  const none = f32x4.splat(0);
  for (let done = 0; done < samples; done += BLOCK) {
    const count = min(BLOCK, samples - done);
    const start = from + <usize>done * bytes;
    const at = plain ? start : valuesOf(channel, start, count);
    let i = 0;
    for (; i + 4 <= count; i += 4) {
      const x = f32x4.add(i8x16.swizzle(v128.load(at + (<usize>i << 2)), order), none);
      const keys = keysOf(x);
      if (!refining) zeros += <u32>popcnt(i32x4.bitmask(f32x4.eq(x, none)));
      if (i32x4.all_true(f32x4.lt(f32x4.abs(x), infinity))) four(keys, refining);
      else {
        one(i32x4.extract_lane(x, 0), i32x4.extract_lane(keys, 0), refining);
        one(i32x4.extract_lane(x, 1), i32x4.extract_lane(keys, 1), refining);
        one(i32x4.extract_lane(x, 2), i32x4.extract_lane(keys, 2), refining);
        one(i32x4.extract_lane(x, 3), i32x4.extract_lane(keys, 3), refining);
      }
    }
    for (; i < count; i++) {
      const word = load<u32>(at + (<usize>i << 2));
      const ordered = swapped ? bswap<u32>(word) : word;
      const bits = ordered == 0x80000000 ? 0 : ordered;
      if (!refining && bits == 0) zeros++;
      one(bits, bits ^ (<u32>(<i32>bits >> 31) | 0x80000000), refining);
    }
  }
}

/** Adds samples to the bins. At most 2²⁴ − 1 may be added before the host empties them. */
export function count(from: usize, samples: i32, decoded: bool): void {
  pass(from, samples, decoded, false);
}

/** Counts the lower bits of samples in bins that have a table for them. */
export function refine(from: usize, samples: i32, decoded: bool): void {
  pass(from, samples, decoded, true);
}

/** The first address of memory that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}
