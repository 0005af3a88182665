import { blue, Curve, curveAt, DECODE, ENCODE, green, red } from './channel';
import { lookUp } from './table';

@inline
function unit(v: v128): v128 {
  return f32x4.pmax(f32x4.pmin(v, f32x4.splat(1)), f32x4.splat(0));
}

function lookUpPlane(curve: Curve, plane: usize, end: usize): void {
  const table = curve.table;
  const bits = curve.bits;
  const base = i32x4.splat(curve.base);
  const last = i32x4.splat(curve.last);
  for (let i: usize = 0; i < end; i += 16)
    v128.store(plane + i, lookUp(unit(v128.load(plane + i)), table, bits, base, last));
}

function lookUpPlanes(curve: Curve, count: i32): void {
  const end = <usize>count << 2;
  lookUpPlane(curve, red, end);
  lookUpPlane(curve, green, end);
  lookUpPlane(curve, blue, end);
}

/** Linear light, limited to [0, 1], to display values. */
export function encodeLight(count: i32): void {
  lookUpPlanes(curveAt(ENCODE), count);
}

/** Display values, limited to [0, 1], to linear light. */
export function lightOfDisplay(count: i32): void {
  lookUpPlanes(curveAt(DECODE), count);
}

/**
 * floor(v · full + 0.5) as integers; NaN gives 0. Added to 2^23, an integer below it is what the lowest bits hold, which
 * takes half the instructions of a conversion that may meet any number.
 */
@inline
function code(plane: usize, i: usize, full: v128): v128 {
  // With 0 as the first operand, the larger of 0 and NaN is 0.
  const inside = f32x4.pmin(f32x4.pmax(f32x4.splat(0), v128.load(plane + i)), f32x4.splat(1));
  const whole = f32x4.floor(f32x4.add(f32x4.mul(inside, full), f32x4.splat(0.5)));
  return v128.and(f32x4.add(whole, f32x4.splat(8388608)), i32x4.splat(0x7fffff));
}

/** `full` where the pixel is defined, else 0. */
@inline
function opacity(i: usize, full: v128): v128 {
  const r = v128.load(red + i);
  return v128.and(f32x4.eq(r, r), full);
}

// Stores run over the end of the pixels by less than 16 bytes: the next block, or the room behind the strip, takes them.

function store16(to: usize, alpha: bool, end: usize): void {
  const full = f32x4.splat(65535);
  for (let i: usize = 0; i < end; i += 16) {
    const rg = i16x8.narrow_i32x4_u(code(red, i, full), code(green, i, full));
    const a = alpha ? opacity(i, i32x4.splat(65535)) : i32x4.splat(0);
    const ba = i16x8.narrow_i32x4_u(code(blue, i, full), a);
    if (alpha) {
      v128.store(to, v128.shuffle<i16>(rg, ba, 0, 4, 8, 12, 1, 5, 9, 13));
      v128.store(to, v128.shuffle<i16>(rg, ba, 2, 6, 10, 14, 3, 7, 11, 15), 16);
      to += 32;
    } else {
      v128.store(to, v128.shuffle<i16>(rg, ba, 0, 4, 8, 1, 5, 9, 2, 6));
      v128.store(to, v128.shuffle<i16>(rg, ba, 10, 3, 7, 11, 0, 0, 0, 0), 16);
      to += 24;
    }
  }
}

function store8(to: usize, alpha: bool, end: usize): void {
  const full = f32x4.splat(255);
  for (let i: usize = 0; i < end; i += 16) {
    const rg = i16x8.narrow_i32x4_s(code(red, i, full), code(green, i, full));
    const a = alpha ? opacity(i, i32x4.splat(255)) : i32x4.splat(0);
    const ba = i16x8.narrow_i32x4_s(code(blue, i, full), a);
    const all = i8x16.narrow_i16x8_u(rg, ba);
    if (alpha) {
      v128.store(to, v128.shuffle<i8>(all, all, 0, 4, 8, 12, 1, 5, 9, 13, 2, 6, 10, 14, 3, 7, 11, 15));
      to += 16;
    } else {
      v128.store(to, v128.shuffle<i8>(all, all, 0, 4, 8, 1, 5, 9, 2, 6, 10, 3, 7, 11, 0, 0, 0, 0));
      to += 12;
    }
  }
}

/** Four numbers limited to [0, 1]; NaN gives 0. */
@inline
function real(plane: usize, i: usize): v128 {
  const v = v128.load(plane + i);
  return unit(v128.and(v, f32x4.eq(v, v)));
}

function store32(to: usize, alpha: bool, end: usize): void {
  for (let i: usize = 0; i < end; i += 16) {
    const r = real(red, i);
    const g = real(green, i);
    const b = real(blue, i);
    const rg = v128.shuffle<f32>(r, g, 0, 4, 1, 5);
    const rgHigh = v128.shuffle<f32>(r, g, 2, 6, 3, 7);
    if (alpha) {
      const a = opacity(i, f32x4.splat(1));
      const ba = v128.shuffle<f32>(b, a, 0, 4, 1, 5);
      const baHigh = v128.shuffle<f32>(b, a, 2, 6, 3, 7);
      v128.store(to, v128.shuffle<f32>(rg, ba, 0, 1, 4, 5));
      v128.store(to, v128.shuffle<f32>(rg, ba, 2, 3, 6, 7), 16);
      v128.store(to, v128.shuffle<f32>(rgHigh, baHigh, 0, 1, 4, 5), 32);
      v128.store(to, v128.shuffle<f32>(rgHigh, baHigh, 2, 3, 6, 7), 48);
      to += 64;
    } else {
      const br = v128.shuffle<f32>(b, r, 0, 5, 1, 6);
      v128.store(to, v128.shuffle<f32>(rg, br, 0, 1, 4, 5));
      v128.store(to, v128.shuffle<f32>(v128.shuffle<f32>(g, b, 1, 5, 1, 5), rgHigh, 0, 1, 4, 5), 16);
      v128.store(to, v128.shuffle<f32>(b, rgHigh, 2, 6, 7, 3), 32);
      to += 48;
    }
  }
}

/** The colour planes of a block as interleaved pixels of 1, 2 or 4 bytes a sample. */
export function storePixels(to: usize, bytes: i32, alpha: bool, count: i32): void {
  const end = <usize>count << 2;
  if (bytes == 2) store16(to, alpha, end);
  else if (bytes == 1) store8(to, alpha, end);
  else store32(to, alpha, end);
}
