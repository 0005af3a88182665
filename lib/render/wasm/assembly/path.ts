import { cube, entry, row } from './matrices';

// The path of the method `smooth`, as lib/colour/gamut/smooth.ts, several colours at a time; see there. At chroma scale u
// the direction has turned by −bend · ln u, so that the point of the (a, b) plane is z · u^(1 − i·bend), and its
// derivative by ln u is (1 − i·bend) times itself: no slope takes a function of an angle more. `T` is f32 or f64.

/** cos and sin of the hue of blue, 264.052°. */
const COS_BLUE: f64 = -0.1036258209012935;
const SIN_BLUE: f64 = -0.9946163527926398;
const REACH: f64 = 0.6981317007977318;
/** The tangent of half the reach, 20°. */
const TAN_HALF: f64 = 0.36397023426620234;
const BEND: f64 = 0.15;
const LN_2: f64 = 0.6931471805599453;

/** first + x·rest: one step of a series. */
@inline
function plus<T>(first: T, x: v128, rest: v128): v128 {
  return v128.add<T>(v128.splat<T>(first), v128.mul<T>(x, rest));
}

/** How many radians the paths of two colours turn for each factor e in chroma; 0 for hues beyond the reach of blue. */
@inline
export function bendsOf(a: v128, b: v128): v128 {
  const along = f64x2.add(f64x2.mul(a, f64x2.splat(COS_BLUE)), f64x2.mul(b, f64x2.splat(SIN_BLUE)));
  const across = f64x2.sub(f64x2.mul(b, f64x2.splat(COS_BLUE)), f64x2.mul(a, f64x2.splat(SIN_BLUE)));
  const length = f64x2.sqrt(f64x2.add(f64x2.mul(along, along), f64x2.mul(across, across)));
  const half = f64x2.div(across, f64x2.add(along, length));
  const q = f64x2.mul(half, half);
  // The angle, as twice the arcus tangent of that of its half, good to 1e-12.
  const far = plus<f64>(-1.0 / 11, q, plus<f64>(1.0 / 13, q, plus<f64>(-1.0 / 15, q, plus<f64>(1.0 / 17, q, f64x2.splat(-1.0 / 19)))));
  const near = plus<f64>(1.0 / 5, q, plus<f64>(-1.0 / 7, q, plus<f64>(1.0 / 9, q, far)));
  const series = plus<f64>(1, q, plus<f64>(-1.0 / 3, q, near));
  const t = f64x2.mul(f64x2.splat(2 / REACH), f64x2.mul(half, series));
  const rest = f64x2.sub(f64x2.splat(1), f64x2.mul(t, t));
  const bends = f64x2.mul(f64x2.splat(BEND), f64x2.mul(rest, rest));
  return v128.and(bends, f64x2.lt(f64x2.abs(half), f64x2.splat(TAN_HALF)));
}

/** By how much the binary exponents of four positive float32 exceed those of numbers between √½ and √2. */
@inline
function exponents(u: v128): v128 {
  return i32x4.shr_s(i32x4.sub(u, i32x4.splat(0x3f3504f3)), 23);
}

@inline
function mantissas(u: v128, exponent: v128): v128 {
  return i32x4.sub(u, i32x4.shl(exponent, 23));
}

@inline
function ratio<T>(mantissa: v128): v128 {
  return v128.div<T>(v128.sub<T>(mantissa, v128.splat<T>(1)), v128.add<T>(mantissa, v128.splat<T>(1)));
}

/** Logarithms of four positive float32. */
@inline
export function lnOfFour(u: v128): v128 {
  const exponent = exponents(u);
  const s = ratio<f32>(mantissas(u, exponent));
  const q = f32x4.mul(s, s);
  const series = plus<f32>(2, q, plus<f32>(<f32>(2.0 / 3), q, plus<f32>(<f32>(2.0 / 5), q, f32x4.splat(<f32>(2.0 / 7)))));
  return f32x4.add(f32x4.mul(f32x4.convert_i32x4_s(exponent), f32x4.splat(<f32>LN_2)), f32x4.mul(s, series));
}

/** Logarithms of the first two of four positive float32, in float64, good to 1e-11. */
@inline
export function lnOfTwo(u: v128): v128 {
  const exponent = exponents(u);
  const s = ratio<f64>(f64x2.promote_low_f32x4(mantissas(u, exponent)));
  const q = f64x2.mul(s, s);
  const far = plus<f64>(2.0 / 7, q, plus<f64>(2.0 / 9, q, plus<f64>(2.0 / 11, q, f64x2.splat(2.0 / 13))));
  const series = plus<f64>(2, q, plus<f64>(2.0 / 3, q, plus<f64>(2.0 / 5, q, far)));
  return f64x2.add(f64x2.mul(f64x2.convert_low_i32x4_s(exponent), f64x2.splat(LN_2)), f64x2.mul(s, series));
}

// Sine and cosine by series. A path turns far only where little chroma is left: times u, they are good to 1e-10 everywhere.

@inline
export function sinOf<T>(x: v128): v128 {
  const q = v128.mul<T>(x, x);
  const far = plus<T>(<T>(1.0 / 120), q, plus<T>(<T>(-1.0 / 5040), q, v128.splat<T>(<T>(1.0 / 362880))));
  return v128.mul<T>(x, plus<T>(1, q, plus<T>(<T>(-1.0 / 6), q, far)));
}

@inline
export function cosOf<T>(x: v128): v128 {
  const q = v128.mul<T>(x, x);
  const far = plus<T>(<T>(-1.0 / 720), q, plus<T>(<T>(1.0 / 40320), q, v128.splat<T>(<T>(-1.0 / 3628800))));
  return plus<T>(1, q, plus<T>(<T>(-1.0 / 2), q, plus<T>(<T>(1.0 / 24), q, far)));
}

/** The cube root of one cone response of a colour, or how it changes; `i` is its row of OKLab → cube roots. */
@inline
export function rootOf<T>(i: i32, a: v128, b: v128): v128 {
  return v128.add<T>(v128.mul<T>(entry<T>(i + 1), a), v128.mul<T>(entry<T>(i + 2), b));
}

/** How far one channel is from the face that it moves to, in steps of ln u to first order. */
@inline
function wayOf<T>(value: v128, slope: v128): v128 {
  const face = v128.and(v128.gt<T>(slope, v128.splat<T>(0)), v128.splat<T>(1));
  return v128.div<T>(v128.sub<T>(face, value), slope);
}

/**
 * Newton's step in ln u from the colours (light, a, b) of paths to the nearest face of the cube: negative outside of it,
 * and −2 where no channel leads back. NaN for greys.
 */
@inline
export function stepOf<T>(light: v128, a: v128, b: v128, bend: v128): v128 {
  const l = v128.add<T>(light, rootOf<T>(27, a, b));
  const c = v128.add<T>(light, rootOf<T>(30, a, b));
  const s = v128.add<T>(light, rootOf<T>(33, a, b));
  const ll = v128.mul<T>(l, l);
  const cc = v128.mul<T>(c, c);
  const ss = v128.mul<T>(s, s);
  const lll = v128.mul<T>(ll, l);
  const ccc = v128.mul<T>(cc, c);
  const sss = v128.mul<T>(ss, s);
  const overA = v128.add<T>(a, v128.mul<T>(bend, b));
  const overB = v128.sub<T>(b, v128.mul<T>(bend, a));
  const three = v128.splat<T>(3);
  const dl = v128.mul<T>(v128.mul<T>(three, ll), rootOf<T>(27, overA, overB));
  const dc = v128.mul<T>(v128.mul<T>(three, cc), rootOf<T>(30, overA, overB));
  const ds = v128.mul<T>(v128.mul<T>(three, ss), rootOf<T>(33, overA, overB));
  const red = row<T>(9, lll, ccc, sss);
  const green = row<T>(12, lll, ccc, sss);
  const blue = row<T>(15, lll, ccc, sss);
  const toRed = wayOf<T>(red, row<T>(9, dl, dc, ds));
  const toGreen = wayOf<T>(green, row<T>(12, dl, dc, ds));
  const toBlue = wayOf<T>(blue, row<T>(15, dl, dc, ds));
  const step = v128.pmin<T>(v128.pmin<T>(toRed, toGreen), toBlue);
  const least = v128.pmin<T>(v128.pmin<T>(red, green), blue);
  const most = v128.pmax<T>(v128.pmax<T>(red, green), blue);
  const zero = v128.splat<T>(0);
  const outside = v128.or(v128.lt<T>(least, zero), v128.gt<T>(most, v128.splat<T>(1)));
  const lost = v128.and(outside, v128.ge<T>(step, zero));
  return v128.bitselect(v128.splat<T>(-2), step, lost);
}
