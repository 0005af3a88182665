import { drawn, greyOf, keptOf } from './floor';
import { row } from './matrices';

// Linear light to OKLab, four colours at a time, in float64.

/** Colours described at a time: what is kept of them stays in the first-level cache. */
export const BATCH: usize = 128;
export const lightness = memory.data(128 * 8, 16);
export const greens = memory.data(128 * 8, 16);
export const yellows = memory.data(128 * 8, 16);

/** Cube roots of four float32 numbers, good to 15 bits: an estimate from the exponent, then one of Halley's steps. */
@inline
function roughCbrt(x: v128): v128 {
  // A third of the bits of a float32 is the exponent of the root and a first guess of its mantissa.
  const third = i32x4.trunc_sat_f32x4_s(f32x4.mul(f32x4.convert_i32x4_s(x), f32x4.splat(1.0 / 3)));
  const t = i32x4.add(third, i32x4.splat(709921077));
  const cube = f32x4.mul(f32x4.mul(t, t), t);
  const twice = f32x4.add(x, x);
  return f32x4.div(f32x4.mul(t, f32x4.add(cube, twice)), f32x4.add(f32x4.add(cube, cube), x));
}

/** One more step in float64, which triples the digits; the sign is that of `x`. */
@inline
function refineCbrt(rough: v128, x: v128): v128 {
  const size = f64x2.abs(x);
  const cube = f64x2.mul(f64x2.mul(rough, rough), rough);
  const twice = f64x2.add(size, size);
  const root = f64x2.div(f64x2.mul(rough, f64x2.add(cube, twice)), f64x2.add(f64x2.add(cube, cube), size));
  return v128.or(root, v128.and(x, i64x2.splat(i64.MIN_VALUE)));
}

/** Two colours in float64 to OKLab, by estimates of the cube roots. */
@inline
function toLab(at: usize, l: v128, c: v128, s: v128, roughL: v128, roughC: v128, roughS: v128): void {
  const rootL = refineCbrt(roughL, l);
  const rootC = refineCbrt(roughC, c);
  const rootS = refineCbrt(roughS, s);
  const a = row<f64>(21, rootL, rootC, rootS);
  const b = row<f64>(24, rootL, rootC, rootS);
  v128.store(lightness + at, row<f64>(18, rootL, rootC, rootS));
  v128.store(greens + at, a);
  v128.store(yellows + at, b);
}

@inline
function high(x: v128): v128 {
  return v128.shuffle<u64>(x, x, 1, 1);
}

@inline
function rough(low: v128, up: v128): v128 {
  const both = v128.shuffle<u64>(f32x4.demote_f64x2_zero(low), f32x4.demote_f64x2_zero(up), 0, 2);
  return roughCbrt(f32x4.pmax(f32x4.abs(both), f32x4.splat(1e-30)));
}

/**
 * OKLab of four colours in linear light, to places `at` bytes behind the first.
 * @param floors whether cone responses below their floor are drawn towards grey first
 */
export function describe(r: v128, g: v128, b: v128, floors: bool, at: usize): void {
  const r0 = f64x2.promote_low_f32x4(r);
  const g0 = f64x2.promote_low_f32x4(g);
  const b0 = f64x2.promote_low_f32x4(b);
  const r1 = f64x2.promote_low_f32x4(high(r));
  const g1 = f64x2.promote_low_f32x4(high(g));
  const b1 = f64x2.promote_low_f32x4(high(b));
  let l0 = row<f64>(0, r0, g0, b0);
  let l1 = row<f64>(0, r1, g1, b1);
  let c0 = row<f64>(3, r0, g0, b0);
  let c1 = row<f64>(3, r1, g1, b1);
  let s0 = row<f64>(6, r0, g0, b0);
  let s1 = row<f64>(6, r1, g1, b1);
  if (floors) {
    const grey0 = greyOf(l0, c0, s0);
    const grey1 = greyOf(l1, c1, s1);
    const kept0 = keptOf(grey0, l0, c0, s0);
    const kept1 = keptOf(grey1, l1, c1, s1);
    l0 = drawn(grey0, kept0, l0);
    l1 = drawn(grey1, kept1, l1);
    c0 = drawn(grey0, kept0, c0);
    c1 = drawn(grey1, kept1, c1);
    s0 = drawn(grey0, kept0, s0);
    s1 = drawn(grey1, kept1, s1);
  }
  const l = rough(l0, l1);
  const c = rough(c0, c1);
  const s = rough(s0, s1);
  toLab(at, l0, c0, s0, f64x2.promote_low_f32x4(l), f64x2.promote_low_f32x4(c), f64x2.promote_low_f32x4(s));
  toLab(at + 16, l1, c1, s1, f64x2.promote_low_f32x4(high(l)), f64x2.promote_low_f32x4(high(c)), f64x2.promote_low_f32x4(high(s)));
}
