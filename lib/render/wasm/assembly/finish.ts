import { blue, green, red } from './channel';
import { describe, greens, lightness, m, row, yellows } from './chroma';

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
function bump(t: f64): f64 {
  const rest = max(0, 1 - t * t);
  return rest * rest;
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

/** tan(π/8): up to it the series of the arcus tangent is good to 3e-9. */
const TAN_EIGHTH: f64 = 0.41421356237309503;

/** The angle of (a, b), −π … π, by one division: the ratio of the two is turned by 45° where it is large. */
@inline
function angleOf(a: f64, b: f64): f64 {
  const across = abs(a);
  const along = abs(b);
  const steep = along > across;
  const most = steep ? along : across;
  const least = steep ? across : along;
  const far = least > TAN_EIGHTH * most;
  const top = far ? least - most : least;
  const below = far ? least + most : most;
  const t = below > 0 ? top / below : 0;
  const q = t * t;
  const end = 1.0 / 11 - q * (1.0 / 13 - q * (1.0 / 15 - q * (1.0 / 17)));
  const series = t * (1 - q * (1.0 / 3 - q * (1.0 / 5 - q * (1.0 / 7 - q * (1.0 / 9 - q * end)))));
  let angle = far ? series + PI / 4 : series;
  if (steep) angle = PI / 2 - angle;
  if (a < 0) angle = PI - angle;
  return copysign(angle, b);
}

/** cos and sin of a turn of at most π, by a quarter of it. */
let cosine: f64 = 1;
let sine: f64 = 0;

@inline
function turn(angle: f64): void {
  const quarter = 0.25 * angle;
  const q = quarter * quarter;
  let cos = 1 - q * (1.0 / 2) * (1 - q * (1.0 / 12) * (1 - q * (1.0 / 30) * (1 - q * (1.0 / 56) * (1 - q * (1.0 / 90)))));
  let sin = quarter * (1 - q * (1.0 / 6) * (1 - q * (1.0 / 20) * (1 - q * (1.0 / 42) * (1 - q * (1.0 / 72)))));
  for (let i = 0; i < 2; i++) {
    const double = 2 * sin * cos;
    cos = 1 - 2 * sin * sin;
    sin = double;
  }
  cosine = cos;
  sine = sin;
}

/** One of the four colours that are described. */
@inline
function finishOne(at: usize): void {
  const light = load<f64>(lightness + at);
  const a = load<f64>(greens + at);
  const b = load<f64>(yellows + at);
  const scale = knotCount > 0 ? toneRatio(light) : 1;
  const t = clampUnit((light - fadeFrom) * fadeScale);
  const less = gainLess * t * t * (3 - 2 * t);
  let factor = less != 0 ? scale * (1 + less * bump(sqrt(a * a + b * b) * untilScale)) : scale;
  let toA = a;
  let toB = b;
  if (bendCount > 0) {
    const hue = angleOf(a, b);
    let angle: f64 = 0;
    for (let i = 0; i < bendCount; i++) {
      const bend = bends + <usize>(i * 32);
      let step = hue - load<f64>(bend);
      if (step > PI) step -= 2 * PI;
      else if (step < -PI) step += 2 * PI;
      const share = bump(step * load<f64>(bend, 16));
      angle += load<f64>(bend, 8) * share;
      factor *= 1 + load<f64>(bend, 24) * share;
    }
    if (angle != 0) {
      turn(angle);
      toA = a * cosine - b * sine;
      toB = a * sine + b * cosine;
    }
  }
  store<f64>(lightness + at, light * scale);
  store<f64>(greens + at, toA * factor);
  store<f64>(yellows + at, toB * factor);
}

@inline
function cubeTwo(x: v128): v128 {
  return f64x2.mul(f64x2.mul(x, x), x);
}

@inline
function rootTwo(i: i32, light: v128, a: v128, b: v128): v128 {
  const first = f64x2.add(light, f64x2.mul(f64x2.splat(m(i + 1)), a));
  return cubeTwo(f64x2.add(first, f64x2.mul(f64x2.splat(m(i + 2)), b)));
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
  v128.store(to, row(9, l, c, s));
  v128.store(to, row(12, l, c, s), 16);
  v128.store(to, row(15, l, c, s), 32);
}

const four = memory.data(3 * 16, 16);
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
    v128.store(four, v128.load(red + i));
    v128.store(four, v128.load(green + i), 16);
    v128.store(four, v128.load(blue + i), 32);
    describe(four, true);
    for (let at: usize = 0; at < 32; at += 8) finishOne(at);
    backTwo(0, lower);
    backTwo(16, upper);
    v128.store(red + i, joined(0));
    v128.store(green + i, joined(16));
    v128.store(blue + i, joined(32));
  }
}
