import { firstZero } from './cubic';
import { cube, m, row } from './matrices';
import { greens, lightness, yellows } from './oklab';

// Chroma reduction to the boundary of the cube at constant hue, as lib/colour/gamut/chroma.ts; see there.

/** For four colours: how cone responses change with chroma, and the chroma scale that is found. */
const longs = memory.data(4 * 8, 16);
const middles = memory.data(4 * 8, 16);
const shorts = memory.data(4 * 8, 16);
const scales = memory.data(4 * 8, 16);

/** How the cone responses of two colours change with chroma. */
@inline
function setSlopes(at: usize, own: usize): void {
  const a = v128.load(greens + at);
  const b = v128.load(yellows + at);
  v128.store(longs + own, f64x2.add(f64x2.mul(f64x2.splat(m(28)), a), f64x2.mul(f64x2.splat(m(29)), b)));
  v128.store(middles + own, f64x2.add(f64x2.mul(f64x2.splat(m(31)), a), f64x2.mul(f64x2.splat(m(32)), b)));
  v128.store(shorts + own, f64x2.add(f64x2.mul(f64x2.splat(m(34)), a), f64x2.mul(f64x2.splat(m(35)), b)));
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
function findScale(at: usize, own: usize): f64 {
  const light = load<f64>(lightness + at);
  if (!(light > 0) || light >= 1) {
    store<f64>(lightness + at, light >= 1 ? 1 : 0);
    return 0;
  }
  const l = load<f64>(longs + own);
  const c = load<f64>(middles + own);
  const s = load<f64>(shorts + own);
  let u = stopAtFaces(0, light, l, c, s, 1);
  u = stopAtFaces(3, light, l, c, s, u);
  return stopAtFaces(6, light, l, c, s, u);
}

/** Two colours back to linear RGB, from chroma scales; `i` is the row of LMS → RGB. */
@inline
function back(at: usize, own: usize, i: i32): v128 {
  const light = v128.load(lightness + at);
  const u = v128.load(scales + own);
  const l = f64x2.add(light, f64x2.mul(v128.load(longs + own), u));
  const c = f64x2.add(light, f64x2.mul(v128.load(middles + own), u));
  const s = f64x2.add(light, f64x2.mul(v128.load(shorts + own), u));
  const value = row<f64>(i, cube<f64>(l), cube<f64>(c), cube<f64>(s));
  return f64x2.pmax(f64x2.pmin(value, f64x2.splat(1)), f64x2.splat(0));
}

/**
 * Four described colours, `at` bytes behind the first, to the surface of the cube.
 * @param to where linear red goes; green and blue go one and two `plane` bytes further
 */
export function reduceFour(at: usize, to: usize, plane: usize): void {
  setSlopes(at, 0);
  setSlopes(at + 16, 16);
  for (let own: usize = 0; own < 32; own += 8) store<f64>(scales + own, findScale(at + own, own));
  for (let i = 0; i < 3; i++) {
    const low = f32x4.demote_f64x2_zero(back(at, 0, 9 + 3 * i));
    const up = f32x4.demote_f64x2_zero(back(at + 16, 16, 9 + 3 * i));
    v128.store(to + <usize>i * plane, v128.shuffle<u64>(low, up, 0, 2));
  }
}
