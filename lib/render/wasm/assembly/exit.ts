import { FOUR, HALF, known, ONE, THREE } from './constants';
import { cube, row } from './matrices';
import { greens, lightness, yellows } from './oklab';
import { bendsOf, cosOf, lnOfFour, lnOfTwo, rootOf, sinOf, stepOf } from './path';

// Where the paths of the method `smooth` leave the cube, as lib/colour/gamut/smooth.ts; see there. For a batch of described
// colours: a parabola and one of Newton's steps in float32, then steps between brackets in float64. What becomes of a colour
// does not depend on the others. Float32 have `bytes` bytes, float64 twice as many.

/** Most steps in float64, halvings included; one or two are usual. */
const MOST: i32 = 64;
/** A last step of this size, in ln u, leaves an error of the order of its square: a thousandth of a step of 16 bits. */
const LAST: f64 = 3e-5;
const SHORTEST: f64 = 1.0 / 1073741824;
/** Darker colours are black: their cube is nothing. */
const DARKEST: f64 = 1e-9;

const bends = memory.data(128 * 8, 16);
/** Estimates of chroma scales. */
const scales = memory.data(128 * 4, 16);

/** Four of the numbers of a batch, as float32. */
@inline
function narrow(numbers: usize, i: usize): v128 {
  const low = f32x4.demote_f64x2_zero(v128.load(numbers + (i << 1)));
  const up = f32x4.demote_f64x2_zero(v128.load(numbers + (i << 1), 16));
  return v128.shuffle<u64>(low, up, 0, 2);
}

/** How paths bend. Lightness beyond black or white becomes that, and then has no chroma; no number is black. */
export function setBends(bytes: usize): void {
  for (let at: usize = 0; at < bytes << 1; at += 16) {
    const light = v128.load(lightness + at);
    const above = f64x2.gt(light, f64x2.splat(DARKEST));
    const within = v128.and(above, f64x2.lt(light, known<f64>(ONE)));
    const a = v128.and(v128.load(greens + at), within);
    const b = v128.and(v128.load(yellows + at), within);
    v128.store(lightness + at, f64x2.pmin(known<f64>(ONE), v128.and(light, above)));
    v128.store(greens + at, a);
    v128.store(yellows + at, b);
    v128.store(bends + at, bendsOf(a, b));
  }
}

/** A positive scale up to 1; the shortest where there is no number. */
@inline
function scaleOf(u: v128): v128 {
  return f32x4.pmax(f32x4.splat(<f32>SHORTEST), f32x4.pmin(known<f32>(ONE), u));
}

/** First estimates: where the parabola through grey that touches the least channel at u = 1 comes to 0. */
export function begin(bytes: usize): void {
  for (let i: usize = 0; i < bytes; i += 16) {
    const light = narrow(lightness, i);
    const a = narrow(greens, i);
    const b = narrow(yellows, i);
    const bend = narrow(bends, i);
    const grey = cube<f32>(light);
    const l = f32x4.add(light, rootOf<f32>(27, a, b));
    const c = f32x4.add(light, rootOf<f32>(30, a, b));
    const s = f32x4.add(light, rootOf<f32>(33, a, b));
    const overA = f32x4.add(a, f32x4.mul(bend, b));
    const overB = f32x4.sub(b, f32x4.mul(bend, a));
    const dl = f32x4.mul(f32x4.mul(l, l), rootOf<f32>(27, overA, overB));
    const dc = f32x4.mul(f32x4.mul(c, c), rootOf<f32>(30, overA, overB));
    const ds = f32x4.mul(f32x4.mul(s, s), rootOf<f32>(33, overA, overB));
    const lll = cube<f32>(l);
    const ccc = cube<f32>(c);
    const sss = cube<f32>(s);
    let value = row<f32>(9, lll, ccc, sss);
    let third = row<f32>(9, dl, dc, ds);
    for (let r = 12; r < 18; r += 3) {
      const other = row<f32>(r, lll, ccc, sss);
      const less = f32x4.lt(other, value);
      value = v128.bitselect(other, value, less);
      third = v128.bitselect(row<f32>(r, dl, dc, ds), third, less);
    }
    const slope = f32x4.mul(known<f32>(THREE), third);
    const fall = f32x4.sub(grey, value);
    const square = f32x4.add(slope, fall);
    const linear = f32x4.sub(f32x4.neg(fall), square);
    const inner = f32x4.sub(f32x4.mul(linear, linear), f32x4.mul(known<f32>(FOUR), f32x4.mul(square, grey)));
    const root = f32x4.sqrt(f32x4.pmax(f32x4.splat(0), inner));
    const u = f32x4.div(f32x4.add(grey, grey), f32x4.sub(root, linear));
    v128.store(scales + i, scaleOf(u));
  }
}

/** The chroma scale to go on with: after the step where that lies within the bracket, else in its middle. */
@inline
function nextOf<T>(u: v128, step: v128, low: v128, high: v128): v128 {
  const next = v128.add<T>(u, v128.mul<T>(u, step));
  const within = v128.and(v128.ge<T>(next, low), v128.le<T>(next, high));
  return v128.bitselect(next, v128.mul<T>(known<T>(HALF), v128.add<T>(low, high)), within);
}

/** One of Newton's steps in float32: most estimates are good to 1e-5 then. */
export function approach(bytes: usize): void {
  for (let i: usize = 0; i < bytes; i += 16) {
    const a = narrow(greens, i);
    const b = narrow(yellows, i);
    const bend = narrow(bends, i);
    const u = v128.load(scales + i);
    let atA = f32x4.mul(u, a);
    let atB = f32x4.mul(u, b);
    if (v128.any_true(bend)) {
      const angle = f32x4.neg(f32x4.mul(bend, lnOfFour(u)));
      const cos = cosOf<f32>(angle);
      const sin = sinOf<f32>(angle);
      const straight = atA;
      atA = f32x4.sub(f32x4.mul(atA, cos), f32x4.mul(atB, sin));
      atB = f32x4.add(f32x4.mul(straight, sin), f32x4.mul(atB, cos));
    }
    const step = stepOf<f32>(narrow(lightness, i), atA, atB, bend);
    const outside = f32x4.lt(step, f32x4.splat(0));
    const low = v128.andnot(u, outside);
    const high = v128.bitselect(u, known<f32>(ONE), outside);
    v128.store(scales + i, scaleOf(nextOf<f32>(u, step, low, high)));
  }
}

/**
 * From estimates to the ends of the paths.
 * @param to where linear red goes; green and blue go one and two `plane` bytes further
 */
export function leave(bytes: usize, to: usize, plane: usize): void {
  for (let i: usize = 0; i < bytes; i += 8) leaveTwo(i, to + i, plane);
}

@inline
function leaveTwo(i: usize, to: usize, plane: usize): void {
  const light = v128.load(lightness + (i << 1));
  const a = v128.load(greens + (i << 1));
  const b = v128.load(yellows + (i << 1));
  const bend = v128.load(bends + (i << 1));
  let u = v128.load64_zero(scales + i);
  let low = f64x2.splat(0);
  let high = known<f64>(ONE);
  let atA = a;
  let atB = b;
  let step = f64x2.splat(0);
  const grey = v128.and(f64x2.eq(a, f64x2.splat(0)), f64x2.eq(b, f64x2.splat(0)));
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
    // Steps are between float32, whose logarithm begins with no rounding; the last one, below, is not.
    u = scaleOf(f32x4.demote_f64x2_zero(v128.bitselect(scale, nextOf<f64>(scale, step, low, high), near)));
  }
  // No number, or no end found: no step.
  const last = v128.and(step, f64x2.le(f64x2.abs(step), f64x2.splat(LAST)));
  // (1 − i·bend)·step, and e to that power by its first terms.
  const turn = f64x2.neg(f64x2.mul(bend, last));
  const squares = f64x2.sub(f64x2.mul(last, last), f64x2.mul(turn, turn));
  const along = f64x2.add(f64x2.add(known<f64>(ONE), last), f64x2.mul(known<f64>(HALF), squares));
  const across = f64x2.add(turn, f64x2.mul(last, turn));
  const endA = f64x2.sub(f64x2.mul(atA, along), f64x2.mul(atB, across));
  const endB = f64x2.add(f64x2.mul(atA, across), f64x2.mul(atB, along));
  const l = cube<f64>(f64x2.add(light, rootOf<f64>(27, endA, endB)));
  const c = cube<f64>(f64x2.add(light, rootOf<f64>(30, endA, endB)));
  const s = cube<f64>(f64x2.add(light, rootOf<f64>(33, endA, endB)));
  for (let r = 0; r < 3; r++) {
    const value = row<f64>(9 + 3 * r, l, c, s);
    const inside = f64x2.pmax(f64x2.splat(0), f64x2.pmin(value, known<f64>(ONE)));
    v128.store64_lane(to + <usize>r * plane, f32x4.demote_f64x2_zero(inside), 0);
  }
}
