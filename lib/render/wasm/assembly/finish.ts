import { blue, green, red } from './channel';
import { cube, m, row } from './matrices';
import { describe, greens, lightness, yellows } from './oklab';

// Tone, chroma and hue in OKLab, as lib/finish/finished.ts; see there. In float64, because a dark channel of a bright colour
// is a small difference of large numbers.

const MAX_KNOTS: i32 = 34;
const MAX_BENDS: i32 = 8;

/** Knots of the tone curve: x, y and slope; the curve is identical where there are none. */
const knots = memory.data(MAX_KNOTS * 24, 8);
let knotCount: i32 = 0;

export function setKnot(i: i32, count: i32, x: f64, y: f64, slope: f64): void {
  knotCount = count;
  if (i >= count) return;
  const at = knots + <usize>(i * 24);
  store<f64>(at, x);
  store<f64>(at, y, 8);
  store<f64>(at, slope, 16);
}

let gainLess: f64 = 0;
let fadeFrom: f64 = 0;
let fadeScale: f64 = 0;
let untilScale: f64 = 0;

/** Gain − 1 on chroma, and how it fades: 1/(to − from) over lightness, 1/until over chroma. */
export function setChromaGain(gainMinusOne: f64, from: f64, overRange: f64, overUntil: f64): void {
  gainLess = gainMinusOne;
  fadeFrom = from;
  fadeScale = overRange;
  untilScale = overUntil;
}

/** Bends: hue, turn, 1/width (radians) and factor − 1 on chroma. */
const bends = memory.data(MAX_BENDS * 32, 8);
let bendCount: i32 = 0;

export function setBend(i: i32, count: i32, at: f64, turn: f64, overWidth: f64, chromaMinusOne: f64): void {
  bendCount = count;
  if (i >= count) return;
  const to = bends + <usize>(i * 32);
  store<f64>(to, at);
  store<f64>(to, turn, 8);
  store<f64>(to, overWidth, 16);
  store<f64>(to, chromaMinusOne, 24);
}

const PI: f64 = 3.141592653589793;

@inline
function clampUnit(x: f64): f64 {
  return max(0, min(1, x));
}

@inline
function bump(t: v128): v128 {
  const rest = f64x2.pmax(f64x2.splat(0), f64x2.sub(f64x2.splat(1), f64x2.mul(t, t)));
  return f64x2.mul(rest, rest);
}

/** T(L)/L. */
@inline
function toneRatio(light: f64): f64 {
  const l = clampUnit(light);
  let at = knots;
  for (const last = knots + <usize>((knotCount - 2) * 24); at < last && l > load<f64>(at, 24); ) at += 24;
  const x = load<f64>(at);
  const h = load<f64>(at, 24) - x;
  const u = (l - x) / h;
  const v = 1 - u;
  const y = load<f64>(at, 32);
  const m0 = load<f64>(at, 16);
  const m1 = load<f64>(at, 40);
  if (at == knots) return v * v * m0 + u * ((3 - 2 * u) * (y / h) - v * m1);
  const rise = v * v * (1 + 2 * u) * load<f64>(at, 8) + u * u * (3 - 2 * u) * y;
  return (rise + u * v * h * (v * m0 - u * m1)) / l;
}

/** 1 + x·rest: one step of a series. */
@inline
function onePlus(x: v128, rest: v128): v128 {
  return f64x2.add(f64x2.splat(1), f64x2.mul(x, rest));
}

/** first − x·rest: one step of a series. */
@inline
function less(first: f64, x: v128, rest: v128): v128 {
  return f64x2.sub(f64x2.splat(first), f64x2.mul(x, rest));
}

/** Factors of chroma: 1 + (gain − 1)·smoothstep over lightness·bump over chroma. */
@inline
function gains(light: v128, a: v128, b: v128): v128 {
  const rise = f64x2.mul(f64x2.sub(light, f64x2.splat(fadeFrom)), f64x2.splat(fadeScale));
  const t = f64x2.pmax(f64x2.splat(0), f64x2.pmin(f64x2.splat(1), rise));
  const step = f64x2.mul(f64x2.mul(t, t), f64x2.sub(f64x2.splat(3), f64x2.add(t, t)));
  const chroma = f64x2.sqrt(f64x2.add(f64x2.mul(a, a), f64x2.mul(b, b)));
  return onePlus(f64x2.mul(f64x2.splat(gainLess), step), bump(f64x2.mul(chroma, f64x2.splat(untilScale))));
}

/** tan(π/8): up to it the polynomial below is the arcus tangent to 3e-10, the best of its degree (by Remez's exchange). */
const TAN_EIGHTH: f64 = 0.41421356237309503;

/** The angles of (a, b), −π … π, by one division: the ratio of the two is turned by 45° where it is large. */
@inline
function anglesOf(a: v128, b: v128): v128 {
  const across = f64x2.abs(a);
  const along = f64x2.abs(b);
  const most = f64x2.pmax(across, along);
  const least = f64x2.pmin(across, along);
  const far = f64x2.gt(least, f64x2.mul(f64x2.splat(TAN_EIGHTH), most));
  const top = f64x2.sub(least, v128.and(far, most));
  // Grey has no hue: 0 over next to nothing.
  const below = f64x2.pmax(f64x2.add(most, v128.and(far, least)), f64x2.splat(f64.MIN_NORMAL_VALUE));
  const t = f64x2.div(top, below);
  const q = f64x2.mul(t, t);
  const square = f64x2.mul(q, q);
  const low = less(0.9999999994122799, q, f64x2.splat(0.33333308081375307));
  const mid = less(0.19998238207794825, q, f64x2.splat(0.14240430194788428));
  const high = less(0.10575793571312238, q, f64x2.splat(0.06040186651623255));
  const series = f64x2.mul(t, f64x2.add(low, f64x2.mul(square, f64x2.add(mid, f64x2.mul(square, high)))));
  let angle = f64x2.add(series, v128.and(far, f64x2.splat(PI / 4)));
  angle = v128.bitselect(f64x2.sub(f64x2.splat(PI / 2), angle), angle, f64x2.gt(along, across));
  angle = v128.bitselect(f64x2.sub(f64x2.splat(PI), angle), angle, f64x2.lt(a, f64x2.splat(0)));
  const sign = f64x2.splat(-0.0);
  return v128.or(v128.andnot(angle, sign), v128.and(b, sign));
}

/** Angles from `from` to hues, −π … π. */
@inline
function steps(hues: v128, from: f64): v128 {
  const step = f64x2.sub(hues, f64x2.splat(from));
  const over = v128.and(f64x2.gt(step, f64x2.splat(PI)), f64x2.splat(2 * PI));
  const under = v128.and(f64x2.lt(step, f64x2.splat(-PI)), f64x2.splat(2 * PI));
  return f64x2.add(f64x2.sub(step, over), under);
}

/** Colours (a, b) turned by angles of at most π, times factors; stored at `at`. Cosine and sine by a quarter of the angle. */
@inline
function storeTurned(at: usize, a: v128, b: v128, angles: v128, factors: v128): void {
  const quarter = f64x2.mul(f64x2.splat(0.25), angles);
  const q = f64x2.mul(quarter, quarter);
  const square = f64x2.mul(q, q);
  const sines = less(1, q, f64x2.splat(1.0 / 6));
  const moreSines = less(1.0 / 120, q, less(1.0 / 5040, q, f64x2.splat(1.0 / 362880)));
  const cosines = less(1, q, f64x2.splat(1.0 / 2));
  const moreCosines = less(1.0 / 24, q, less(1.0 / 720, q, less(1.0 / 40320, q, f64x2.splat(1.0 / 3628800))));
  let sin = f64x2.mul(quarter, f64x2.add(sines, f64x2.mul(square, moreSines)));
  let cos = f64x2.add(cosines, f64x2.mul(square, moreCosines));
  for (let i = 0; i < 2; i++) {
    const twice = f64x2.add(sin, sin);
    const doubled = f64x2.mul(twice, cos);
    cos = less(1, twice, sin);
    sin = doubled;
  }
  v128.store(greens + at, f64x2.mul(f64x2.sub(f64x2.mul(a, cos), f64x2.mul(b, sin)), factors));
  v128.store(yellows + at, f64x2.mul(f64x2.add(f64x2.mul(a, sin), f64x2.mul(b, cos)), factors));
}

/** Two of the four colours that are described. */
@inline
function finishTwo(at: usize): void {
  const light = v128.load(lightness + at);
  const a = v128.load(greens + at);
  const b = v128.load(yellows + at);
  let factors = f64x2.splat(1);
  if (knotCount > 0) {
    factors = f64x2.splat(toneRatio(load<f64>(lightness + at)));
    factors = f64x2.replace_lane(factors, 1, toneRatio(load<f64>(lightness + at, 8)));
    v128.store(lightness + at, f64x2.mul(light, factors));
  }
  if (gainLess != 0) factors = f64x2.mul(factors, gains(light, a, b));
  let angles = f64x2.splat(0);
  if (bendCount > 0) {
    const hues = anglesOf(a, b);
    for (let i = 0; i < bendCount; i++) {
      const bend = bends + <usize>(i * 32);
      const share = bump(f64x2.mul(steps(hues, load<f64>(bend)), v128.load64_splat(bend, 16)));
      angles = f64x2.add(angles, f64x2.mul(v128.load64_splat(bend, 8), share));
      factors = f64x2.mul(factors, onePlus(v128.load64_splat(bend, 24), share));
    }
  }
  if (v128.any_true(f64x2.ne(angles, f64x2.splat(0)))) return storeTurned(at, a, b, angles, factors);
  v128.store(greens + at, f64x2.mul(a, factors));
  v128.store(yellows + at, f64x2.mul(b, factors));
}

@inline
function rootTwo(i: i32, light: v128, a: v128, b: v128): v128 {
  const first = f64x2.add(light, f64x2.mul(f64x2.splat(m(i + 1)), a));
  return cube<f64>(f64x2.add(first, f64x2.mul(f64x2.splat(m(i + 2)), b)));
}

/** Two of the four colours to linear light, at `to` and 16 and 32 bytes further, as float64. */
@inline
function backTwo(at: usize, to: usize): void {
  const light = v128.load(lightness + at);
  const a = v128.load(greens + at);
  const b = v128.load(yellows + at);
  const l = rootTwo(27, light, a, b);
  const c = rootTwo(30, light, a, b);
  const s = rootTwo(33, light, a, b);
  v128.store(to, row<f64>(9, l, c, s));
  v128.store(to, row<f64>(12, l, c, s), 16);
  v128.store(to, row<f64>(15, l, c, s), 32);
}

const lower = memory.data(3 * 16, 16);
const upper = memory.data(3 * 16, 16);

@inline
function joined(i: usize): v128 {
  const low = f32x4.demote_f64x2_zero(v128.load(lower + i));
  const up = f32x4.demote_f64x2_zero(v128.load(upper + i));
  return v128.shuffle<u64>(low, up, 0, 2);
}

/** Colours in linear light. */
export function finish(count: i32): void {
  const end = <usize>count << 2;
  for (let i: usize = 0; i < end; i += 16) {
    describe(v128.load(red + i), v128.load(green + i), v128.load(blue + i), true, 0);
    finishTwo(0);
    finishTwo(16);
    backTwo(0, lower);
    backTwo(16, upper);
    v128.store(red + i, joined(0));
    v128.store(green + i, joined(16));
    v128.store(blue + i, joined(32));
  }
}
