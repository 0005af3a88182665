import { BIAS, BLOCK, Channel, Curve, FLOAT32, physical, TABLE } from './channel';
import { biasOf } from './curve';
import { decodePhysical, order32 } from './decode';
import { lookUp } from './table';

/**
 * clamp((x − high − low) · inverse, 0, 1) of four float32 values; NaN where x is not finite.
 * The offset in two parts loses nothing: x − high is exact wherever it is small beside x (Sterbenz's lemma).
 */
@inline
function unit(at: usize, order: v128, high: v128, low: v128, inverse: v128): v128 {
  const x = i8x16.swizzle(v128.load(at), order);
  const finite = f32x4.add(x, f32x4.sub(x, x));
  const t = f32x4.mul(f32x4.sub(f32x4.sub(finite, high), low), inverse);
  // The "pseudo" forms keep a NaN in their first operand.
  return f32x4.pmax(f32x4.pmin(t, f32x4.splat(1)), f32x4.splat(0));
}

/** Levels and curve of float32 values at `from`, to float32 at `to`. */
function stretch(
  curve: Curve,
  from: usize,
  bigEndian: bool,
  offsets: v128,
  inverseOne: f32,
  to: usize,
  count: i32,
): void {
  const order = order32(bigEndian);
  const high = v128.shuffle<f32>(offsets, offsets, 0, 0, 0, 0);
  const low = v128.shuffle<f32>(offsets, offsets, 1, 1, 1, 1);
  const inverse = f32x4.splat(inverseOne);
  const end = <usize>count << 2;
  if (curve.kind == BIAS) {
    const a = f32x4.splat(curve.a);
    const b = f32x4.splat(curve.b);
    const sign = f32x4.splat(curve.sign);
    const shift = f32x4.splat(curve.shift);
    for (let i: usize = 0; i < end; i += 16)
      v128.store(to + i, biasOf(unit(from + i, order, high, low, inverse), a, b, sign, shift));
  } else if (curve.kind == TABLE) {
    const table = curve.table;
    const bits = curve.bits;
    const base = i32x4.splat(curve.base);
    const last = i32x4.splat(curve.last);
    for (let i: usize = 0; i < end; i += 16)
      v128.store(to + i, lookUp(unit(from + i, order, high, low, inverse), table, bits, base, last));
  } else for (let i: usize = 0; i < end; i += 16) v128.store(to + i, unit(from + i, order, high, low, inverse));
}

/** Levels of float64 values, to float32 in place of the first half of them. */
function narrow(channel: Channel, at: usize, count: i32): void {
  const offset = channel.offset;
  const inverse = channel.inverse;
  for (let i = 0; i < count; i++) {
    const x = load<f64>(at + (<usize>i << 3));
    const t = (x - offset) * inverse;
    const unit = x - x != 0 ? NaN : max(0, min(1, t));
    store<f32>(at + (<usize>i << 2), <f32>unit);
  }
}

/** The physical values of a block: where they lie, after decoding what `stretch` does not decode itself. */
function physicalOf(channel: Channel, from: usize, count: i32): usize {
  const plain = !channel.scaled && !channel.wide;
  if (plain && channel.type == FLOAT32) return from;
  decodePhysical(channel, from, physical, count);
  return physical;
}

/** One channel of a block of at most BLOCK pixels: stored samples to stretched float32 values, NaN where undefined. */
export function normalise(channel: Channel, curve: Curve, from: usize, to: usize, count: i32): void {
  const at = physicalOf(channel, from, count);
  if (channel.wide) {
    narrow(channel, at, count);
    stretch(curve, at, false, f32x4.splat(0), 1, to, count);
    return;
  }
  const offsets = f32x4.replace_lane(f32x4.splat(channel.high), 1, channel.low);
  stretch(curve, at, at == from && channel.bigEndian, offsets, <f32>channel.inverse, to, count);
}

/** The same without a curve and in float64, for mixes whose cancellations float32 would not survive. */
export function normaliseWide(channel: Channel, from: usize, to: usize, count: i32): void {
  const offset = channel.offset;
  const inverse = channel.inverse;
  const at = physicalOf(channel, from, count);
  const swap = at == from && channel.bigEndian;
  for (let i = 0; i < count; i++) {
    let x: f64;
    if (channel.wide) x = load<f64>(at + (<usize>i << 3));
    else {
      const word = load<u32>(at + (<usize>i << 2));
      x = <f64>reinterpret<f32>(swap ? bswap<u32>(word) : word);
    }
    store<f64>(to + (<usize>i << 3), x - x != 0 ? NaN : max(0, min(1, (x - offset) * inverse)));
  }
}

/** `count` rounded up to whole vectors, which the planes have room for. */
@inline
export function padded(count: i32): i32 {
  return min((count + 3) & ~3, BLOCK);
}
