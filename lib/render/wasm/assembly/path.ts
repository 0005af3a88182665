import { ARCTAN, COS, four, known, LN, LN_2, MINUS_TWO, ONE, SIN, THREE, two } from './constants';
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
/** How many radians the paths of two colours turn for each factor e in chroma; 0 for hues beyond the reach of blue. */
@inline
export function bendsOf(a: v128, b: v128): v128 {
  const along = f64x2.add(f64x2.mul(a, f64x2.splat(COS_BLUE)), f64x2.mul(b, f64x2.splat(SIN_BLUE)));
  const across = f64x2.sub(f64x2.mul(b, f64x2.splat(COS_BLUE)), f64x2.mul(a, f64x2.splat(SIN_BLUE)));
  const length = f64x2.sqrt(f64x2.add(f64x2.mul(along, along), f64x2.mul(across, across)));
  const half = f64x2.div(across, f64x2.add(along, length));
  const q = f64x2.mul(half, half);
  // The angle, as twice the arcus tangent of that of its half, good to 1e-10.
  const qq = f64x2.mul(q, q);
  const far = f64x2.add(four<f64>(ARCTAN + 4, q, qq), f64x2.mul(f64x2.mul(qq, qq), two<f64>(ARCTAN + 8, q)));
  const series = f64x2.add(four<f64>(ARCTAN, q, qq), f64x2.mul(f64x2.mul(qq, qq), far));
  const t = f64x2.mul(f64x2.splat(2 / REACH), f64x2.mul(half, series));
  const rest = f64x2.sub(known<f64>(ONE), f64x2.mul(t, t));
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
  return v128.div<T>(v128.sub<T>(mantissa, known<T>(ONE)), v128.add<T>(mantissa, known<T>(ONE)));
}

/** Logarithms of four positive float32. */
@inline
export function lnOfFour(u: v128): v128 {
  const exponent = exponents(u);
  const s = ratio<f32>(mantissas(u, exponent));
  const q = f32x4.mul(s, s);
  const series = four<f32>(LN, q, f32x4.mul(q, q));
  return f32x4.add(f32x4.mul(f32x4.convert_i32x4_s(exponent), known<f32>(LN_2)), f32x4.mul(s, series));
}

/** Logarithms of the first two of four positive float32, in float64, good to 1e-11. */
@inline
export function lnOfTwo(u: v128): v128 {
  const exponent = exponents(u);
  const s = ratio<f64>(f64x2.promote_low_f32x4(mantissas(u, exponent)));
  const q = f64x2.mul(s, s);
  const qq = f64x2.mul(q, q);
  const far = f64x2.add(two<f64>(LN + 4, q), f64x2.mul(qq, known<f64>(LN + 6)));
  const series = f64x2.add(four<f64>(LN, q, qq), f64x2.mul(f64x2.mul(qq, qq), far));
  return f64x2.add(f64x2.mul(f64x2.convert_low_i32x4_s(exponent), known<f64>(LN_2)), f64x2.mul(s, series));
}

// Sine and cosine by series. A path turns far only where little chroma is left: times u, they are good to 1e-10 everywhere.

@inline
export function sinOf<T>(x: v128): v128 {
  const q = v128.mul<T>(x, x);
  const qq = v128.mul<T>(q, q);
  if (sizeof<T>() == 4) return v128.mul<T>(x, v128.add<T>(two<T>(SIN, q), v128.mul<T>(qq, known<T>(SIN + 2))));
  return v128.mul<T>(x, v128.add<T>(four<T>(SIN, q, qq), v128.mul<T>(v128.mul<T>(qq, qq), known<T>(SIN + 4))));
}

@inline
export function cosOf<T>(x: v128): v128 {
  const q = v128.mul<T>(x, x);
  const qq = v128.mul<T>(q, q);
  if (sizeof<T>() == 4) return four<T>(COS, q, qq);
  return v128.add<T>(four<T>(COS, q, qq), v128.mul<T>(v128.mul<T>(qq, qq), two<T>(COS + 4, q)));
}

/** The cube root of one cone response of a colour, or how it changes; `i` is its row of OKLab → cube roots. */
@inline
export function rootOf<T>(i: i32, a: v128, b: v128): v128 {
  return v128.add<T>(v128.mul<T>(entry<T>(i + 1), a), v128.mul<T>(entry<T>(i + 2), b));
}

/** How far one channel is from the face that it moves to, in steps of ln u to first order. */
@inline
function wayOf<T>(value: v128, slope: v128): v128 {
  const face = v128.and(v128.gt<T>(slope, v128.splat<T>(0)), known<T>(ONE));
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
  const three = known<T>(THREE);
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
  const outside = v128.or(v128.lt<T>(least, zero), v128.gt<T>(most, known<T>(ONE)));
  const lost = v128.and(outside, v128.ge<T>(step, zero));
  return v128.bitselect(known<T>(MINUS_TWO), step, lost);
}
