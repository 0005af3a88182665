import { cube, row } from './matrices';
import { bendsOf, cosOf, lnOfFour, lnOfTwo, rootOf, sinOf, stepOf } from './path';

// Where the paths of the method `smooth` leave the cube, as lib/colour/gamut/smooth.ts; see there. Newton's steps between
// brackets for four colours in float32, then for two in float64. What becomes of a colour does not depend on its neighbours.

/** Steps in float32: they start from the chord and triple the digits that are right, or better. */
const ROUNDS: i32 = 2;
/** Most steps in float64, halvings included; one or two are usual. */
const MOST: i32 = 64;
/** A last step of this size, in ln u, leaves an error of the order of its square. */
const LAST: f64 = 4e-6;
const SHORTEST: f64 = 1.0 / 1073741824;
/** Darker colours are black: their cube is nothing. */
const DARKEST: f64 = 1e-9;

/** The chroma scale to go on with: after the step where that lies within the bracket, else in its middle. */
@inline
function nextOf<T>(u: v128, step: v128, low: v128, high: v128): v128 {
  const next = v128.add<T>(u, v128.mul<T>(u, step));
  const within = v128.and(v128.gt<T>(next, low), v128.lt<T>(next, high));
  return v128.bitselect(next, v128.mul<T>(v128.splat<T>(0.5), v128.add<T>(low, high)), within);
}

/**
 * Chroma scales at which four paths leave the cube, good to some 1e-6.
 * @param least the least channel of each colour, at u = 1
 */
@inline
export function estimate(light: v128, a: v128, b: v128, bend: v128, least: v128): v128 {
  const grey = cube<f32>(light);
  const shortest = f32x4.splat(<f32>SHORTEST);
  // Where there is no number, the first operand.
  let u = f32x4.pmax(shortest, f32x4.pmin(f32x4.splat(1), f32x4.div(grey, f32x4.sub(grey, least))));
  let low = f32x4.splat(0);
  let high = f32x4.splat(1);
  const turns = v128.any_true(bend);
  for (let round = 0; round < ROUNDS; round++) {
    let atA = f32x4.mul(u, a);
    let atB = f32x4.mul(u, b);
    if (turns) {
      const angle = f32x4.neg(f32x4.mul(bend, lnOfFour(u)));
      const cos = cosOf<f32>(angle);
      const sin = sinOf<f32>(angle);
      const straight = atA;
      atA = f32x4.sub(f32x4.mul(atA, cos), f32x4.mul(atB, sin));
      atB = f32x4.add(f32x4.mul(straight, sin), f32x4.mul(atB, cos));
    }
    const step = stepOf<f32>(light, atA, atB, bend);
    const outside = f32x4.lt(step, f32x4.splat(0));
    high = v128.bitselect(u, high, outside);
    low = v128.bitselect(low, u, outside);
    u = nextOf<f32>(u, step, low, high);
  }
  return f32x4.pmax(shortest, u);
}

/**
 * Two colours to linear RGB, as float64 at `to` and 16 and 32 bytes further, from estimates of their chroma scales in the first
 * two lanes of `from`. Greys are those at their lightness.
 */
@inline
export function exitOfTwo(light: v128, a: v128, b: v128, bend: v128, grey: v128, from: v128, to: usize): void {
  let u = from;
  let low = f64x2.splat(0);
  let high = f64x2.splat(1);
  let atA = a;
  let atB = b;
  let step = f64x2.splat(0);
  const turns = v128.any_true(bend);
  for (let round = 0; round < MOST; round++) {
    const scale = f64x2.promote_low_f32x4(u);
    atA = f64x2.mul(scale, a);
    atB = f64x2.mul(scale, b);
    if (turns) {
      const angle = f64x2.neg(f64x2.mul(bend, lnOfTwo(u)));
      const cos = cosOf<f64>(angle);
      const sin = sinOf<f64>(angle);
      const straight = atA;
      atA = f64x2.sub(f64x2.mul(atA, cos), f64x2.mul(atB, sin));
      atB = f64x2.add(f64x2.mul(straight, sin), f64x2.mul(atB, cos));
    }
    step = stepOf<f64>(light, atA, atB, bend);
    const near = v128.or(grey, f64x2.le(f64x2.abs(step), f64x2.splat(LAST)));
    if (i64x2.all_true(near)) break;
    const outside = f64x2.lt(step, f64x2.splat(0));
    high = v128.bitselect(scale, high, outside);
    low = v128.bitselect(low, scale, outside);
    const next = f64x2.pmax(f64x2.splat(SHORTEST), nextOf<f64>(scale, step, low, high));
    // Steps are between float32, whose logarithm begins with no rounding; the last one, below, is not.
    u = f32x4.demote_f64x2_zero(v128.bitselect(scale, next, near));
    u = f32x4.pmax(f32x4.splat(<f32>SHORTEST), u);
  }
  // No number, or no end found: no step.
  const last = v128.and(step, f64x2.le(f64x2.abs(step), f64x2.splat(LAST)));
  // (1 − i·bend)·step, and e to that power by its first terms.
  const turn = f64x2.neg(f64x2.mul(bend, last));
  const squares = f64x2.sub(f64x2.mul(last, last), f64x2.mul(turn, turn));
  const along = f64x2.add(f64x2.add(f64x2.splat(1), last), f64x2.mul(f64x2.splat(0.5), squares));
  const across = f64x2.add(turn, f64x2.mul(last, turn));
  const endA = f64x2.sub(f64x2.mul(atA, along), f64x2.mul(atB, across));
  const endB = f64x2.add(f64x2.mul(atA, across), f64x2.mul(atB, along));
  const l = cube<f64>(f64x2.add(light, rootOf<f64>(27, endA, endB)));
  const c = cube<f64>(f64x2.add(light, rootOf<f64>(30, endA, endB)));
  const s = cube<f64>(f64x2.add(light, rootOf<f64>(33, endA, endB)));
  for (let i = 0; i < 3; i++) {
    const value = row<f64>(9 + 3 * i, l, c, s);
    v128.store(to + (<usize>i << 4), f64x2.pmax(f64x2.splat(0), f64x2.pmin(value, f64x2.splat(1))));
  }
}

/** Of two lightnesses: which are black or white, whatever their chroma. */
@inline
export function greysOf(light: v128): v128 {
  const some = v128.and(f64x2.gt(light, f64x2.splat(DARKEST)), f64x2.lt(light, f64x2.splat(1)));
  return v128.not(some);
}

/** Two lightnesses within those of black and white; no number is black. */
@inline
export function limited(light: v128): v128 {
  return f64x2.pmin(f64x2.splat(1), v128.and(light, f64x2.gt(light, f64x2.splat(DARKEST))));
}
