import { firstZero } from './cubic';
import { drawn, greyOf, keptOf } from './floor';
import { cube, m, row } from './matrices';

// Chroma reduction to the boundary of the cube, as lib/colour/gamut/chroma.ts and smooth.ts; see there for the sources.

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

/** For four colours: OKLab, how cone responses change with chroma, and the chroma scale that is found. */
export const lightness = memory.data(4 * 8, 16);
export const greens = memory.data(4 * 8, 16);
export const yellows = memory.data(4 * 8, 16);
const longs = memory.data(4 * 8, 16);
const middles = memory.data(4 * 8, 16);
const shorts = memory.data(4 * 8, 16);
const scales = memory.data(4 * 8, 16);

/** Two of four colours in float64 to OKLab. */
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

/** How the cone responses of two of four colours change with chroma. */
@inline
function setSlopes(at: usize): void {
  const a = v128.load(greens + at);
  const b = v128.load(yellows + at);
  v128.store(longs + at, f64x2.add(f64x2.mul(f64x2.splat(m(28)), a), f64x2.mul(f64x2.splat(m(29)), b)));
  v128.store(middles + at, f64x2.add(f64x2.mul(f64x2.splat(m(31)), a), f64x2.mul(f64x2.splat(m(32)), b)));
  v128.store(shorts + at, f64x2.add(f64x2.mul(f64x2.splat(m(34)), a), f64x2.mul(f64x2.splat(m(35)), b)));
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
 * OKLab of the four colours at `rgb`: red, green and blue one after the other.
 * @param floors whether cone responses below their floor are drawn towards grey first
 */
export function describe(rgb: usize, floors: bool): void {
  const r = v128.load(rgb);
  const g = v128.load(rgb, 16);
  const b = v128.load(rgb, 32);
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
  toLab(0, l0, c0, s0, f64x2.promote_low_f32x4(l), f64x2.promote_low_f32x4(c), f64x2.promote_low_f32x4(s));
  toLab(16, l1, c1, s1, f64x2.promote_low_f32x4(high(l)), f64x2.promote_low_f32x4(high(c)), f64x2.promote_low_f32x4(high(s)));
}

/** u ∈ [0, end]: the greatest chroma scale at which one row of LMS → RGB stays in [0, 1]. */
@inline
function stopAtFaces(row: i32, light: f64, l: f64, c: f64, s: f64, end: f64): f64 {
  const p = m(9 + row);
  const q = m(10 + row);
  const r = m(11 + row);
  const pl = p * l;
  const qc = q * c;
  const rs = r * s;
  const pll = pl * l;
  const qcc = qc * c;
  const rss = rs * s;
  const c0 = light * light * light * (p + q + r);
  const c1 = 3 * light * light * (pl + qc + rs);
  const c2 = 3 * light * (pll + qcc + rss);
  const c3 = pll * l + qcc * c + rss * s;
  // The cubic over [0, end] lies between its Bézier ordinates: most channels need no root.
  const b1 = c0 + (c1 * end) / 3;
  const b2 = b1 + ((c1 + c2 * end) * end) / 3;
  const b3 = c0 + end * (c1 + end * (c2 + end * c3));
  if (b1 < 0 || b2 < 0 || b3 < 0) end = firstZero(c0, c1, c2, c3, end);
  if (b1 > 1 || b2 > 1 || b3 > 1) end = firstZero(1 - c0, -c1, -c2, -c3, end);
  return end;
}

/** The greatest chroma scale at which one colour stays in the cube; lightness beyond black or white becomes that grey. */
@inline
function findScale(at: usize): f64 {
  const light = load<f64>(lightness + at);
  if (!(light > 0) || light >= 1) {
    store<f64>(lightness + at, light >= 1 ? 1 : 0);
    return 0;
  }
  const l = load<f64>(longs + at);
  const c = load<f64>(middles + at);
  const s = load<f64>(shorts + at);
  let u = stopAtFaces(0, light, l, c, s, 1);
  u = stopAtFaces(3, light, l, c, s, u);
  return stopAtFaces(6, light, l, c, s, u);
}

/** Two of four colours back to linear RGB. */
@inline
function back(at: usize, i: i32): v128 {
  const light = v128.load(lightness + at);
  const u = v128.load(scales + at);
  const l = f64x2.add(light, f64x2.mul(v128.load(longs + at), u));
  const c = f64x2.add(light, f64x2.mul(v128.load(middles + at), u));
  const s = f64x2.add(light, f64x2.mul(v128.load(shorts + at), u));
  const value = row<f64>(9 + i, cube<f64>(l), cube<f64>(c), cube<f64>(s));
  return f64x2.pmax(f64x2.pmin(value, f64x2.splat(1)), f64x2.splat(0));
}

/** Four colours in linear light, red, green and blue one after the other at `rgb`, to the surface of the cube: `chroma`. */
export function reduceFourChromas(rgb: usize): void {
  describe(rgb, false);
  setSlopes(0);
  setSlopes(16);
  for (let at: usize = 0; at < 32; at += 8) store<f64>(scales + at, findScale(at));
  for (let i = 0; i < 3; i++) {
    const low = f32x4.demote_f64x2_zero(back(0, 3 * i));
    const up = f32x4.demote_f64x2_zero(back(16, 3 * i));
    v128.store(rgb + (<usize>i << 4), v128.shuffle<u64>(low, up, 0, 2));
  }
}
