// Counting for exact order statistics: a module of its own. Bits of a float32, with the sign folded in, sort like the
// number; the upper 16 of them choose a bin, the lower 16 a place in it.
import { BLOCK, channelAt, FLOAT32, INT16, physical, UINT16 } from './channel';
import { decode16, decodeAny, order32, sampleBytes } from './decode';

export { flatten, setLine } from './flatten';

/** Bytes of a bin: how many values, the sum of their lower bits, and the sum of the squares of these. */
const BIN_BYTES: usize = 24;

let bins: usize = 0;
/** A byte for each bin: 0, or 1 + the number of its table of lower bits. */
let slots: usize = 0;
let lowers: usize = 0;
let pedestal: f64 = 0;
let missing: u32 = 0;
let zeros: u32 = 0;

/** Where the host keeps the tables. */
export function setTables(binsAt: usize, slotsAt: usize, lowersAt: usize): void {
  bins = binsAt;
  slots = slotsAt;
  lowers = lowersAt;
}

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

/** Where a block's float32 values lie after decoding; big-endian ones may still be as stored. */
function valuesOf(from: usize, count: i32): usize {
  const channel = channelAt(0);
  if (!channel.scaled && !channel.wide && channel.type == FLOAT32) return from;
  const words = channel.type == UINT16 || channel.type == INT16;
  if (words && channel.scale == 1 && channel.blank != channel.blank) decode16(channel, from, physical, count);
  else decodeAny(channel, from, physical, count);
  if (channel.wide)
    for (let i = 0; i < count; i++)
      store<f32>(physical + (<usize>i << 2), <f32>(load<f64>(physical + (<usize>i << 3)) - pedestal));
  return physical;
}

@inline
function addKey(key: u32): void {
  const bin = bins + (<usize>key >> 16) * BIN_BYTES;
  const low = <u64>(key & 0xffff);
  store<u64>(bin, load<u64>(bin) + 1);
  store<u64>(bin, load<u64>(bin, 8) + low, 8);
  store<u64>(bin, load<u64>(bin, 16) + low * low, 16);
}

/** Where values of bins without a table are counted, and forgotten: one place for each of the four lanes. */
const nowhere = memory.data(16, 16);

/** No branch on the bin: whether a value near the median has a table is as good as random. */
@inline
function refineKey(key: u32, lane: usize): void {
  const slot = <usize>load<u8>(slots + (<usize>key >> 16));
  const table = lowers + ((((slot - 1) << 16) + <usize>(key & 0xffff)) << 2);
  const at = select<usize>(table, nowhere + (lane << 2), slot != 0);
  store<u32>(at, load<u32>(at) + 1);
}

/** Four keys; −0 has become 0 before. */
@inline
function keysOf(x: v128): v128 {
  return v128.xor(x, v128.or(i32x4.shr_s(x, 31), i32x4.splat(0x80000000)));
}

@inline
function one(bits: u32, key: u32, refining: bool): void {
  if ((bits & 0x7f800000) == 0x7f800000) {
    missing++;
    return;
  }
  if (refining) refineKey(key, 0);
  else addKey(key);
}

@inline
function pass(from: usize, samples: i32, refining: bool): void {
  const channel = channelAt(0);
  const bytes = <usize>sampleBytes(channel.type);
  const infinity = f32x4.splat(Infinity);
  const none = f32x4.splat(0);
  for (let done = 0; done < samples; done += BLOCK) {
    const count = min(BLOCK, samples - done);
    const start = from + <usize>done * bytes;
    const at = valuesOf(start, count);
    const order = order32(at == start && channel.bigEndian);
    let i = 0;
    for (; i + 4 <= count; i += 4) {
      const x = f32x4.add(i8x16.swizzle(v128.load(at + (<usize>i << 2)), order), none);
      const keys = keysOf(x);
      if (!refining) zeros += <u32>popcnt(i32x4.bitmask(f32x4.eq(x, none)));
      if (i32x4.all_true(f32x4.lt(f32x4.abs(x), infinity))) {
        if (refining) {
          refineKey(i32x4.extract_lane(keys, 0), 0);
          refineKey(i32x4.extract_lane(keys, 1), 1);
          refineKey(i32x4.extract_lane(keys, 2), 2);
          refineKey(i32x4.extract_lane(keys, 3), 3);
        } else {
          addKey(i32x4.extract_lane(keys, 0));
          addKey(i32x4.extract_lane(keys, 1));
          addKey(i32x4.extract_lane(keys, 2));
          addKey(i32x4.extract_lane(keys, 3));
        }
      } else {
        one(i32x4.extract_lane(x, 0), i32x4.extract_lane(keys, 0), refining);
        one(i32x4.extract_lane(x, 1), i32x4.extract_lane(keys, 1), refining);
        one(i32x4.extract_lane(x, 2), i32x4.extract_lane(keys, 2), refining);
        one(i32x4.extract_lane(x, 3), i32x4.extract_lane(keys, 3), refining);
      }
    }
    for (; i < count; i++) {
      const word = load<u32>(at + (<usize>i << 2));
      const swapped = at == start && channel.bigEndian ? bswap<u32>(word) : word;
      const bits = swapped == 0x80000000 ? 0 : swapped;
      if (!refining && bits == 0) zeros++;
      one(bits, bits ^ (<u32>(<i32>bits >> 31) | 0x80000000), refining);
    }
  }
}

/** Adds samples to the bins. */
export function count(from: usize, samples: i32): void {
  pass(from, samples, false);
}

/** Counts the lower bits of samples in bins that have a table for them. */
export function refine(from: usize, samples: i32): void {
  pass(from, samples, true);
}

/** The first address of memory that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}
