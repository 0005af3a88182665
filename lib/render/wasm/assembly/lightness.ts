import { blue, curveAt, green, INTENSITY, planeAt, red } from './channel';
import { curveOfOne } from './curve';
import { weightAt } from './mix';
import { decodeFour, encodeFour } from './transfer';

/** Weights of red, green and blue in the luminance of the space. */
let lumaR: f64 = 0;
let lumaG: f64 = 0;
let lumaB: f64 = 0;

export function setLuminance(r: f64, g: f64, b: f64): void {
  lumaR = r;
  lumaG = g;
  lumaB = b;
}

@inline
function upper(four: v128): v128 {
  return f64x2.promote_low_f32x4(v128.shuffle<u64>(four, four, 1, 1));
}

@inline
function joined(low: v128, high: v128): v128 {
  return v128.shuffle<u64>(f32x4.demote_f64x2_zero(low), f32x4.demote_f64x2_zero(high), 0, 2);
}

/** The intensities of four pixels, limited to [0, 1]. */
@inline
function wishes(channels: i32, at: usize): v128 {
  let low = f64x2.splat(0);
  let high = f64x2.splat(0);
  for (let c = 0; c < channels; c++) {
    const weight = f64x2.splat(weightAt(3, c));
    const values = v128.load(planeAt(c) + at);
    low = f64x2.add(low, f64x2.mul(weight, f64x2.promote_low_f32x4(values)));
    high = f64x2.add(high, f64x2.mul(weight, upper(values)));
  }
  return f32x4.pmax(f32x4.pmin(joined(low, high), f32x4.splat(1)), f32x4.splat(0));
}

@inline
function lift(wish: v128): v128 {
  const curve = curveAt(INTENSITY);
  return f32x4(
    <f32>curveOfOne(curve, f32x4.extract_lane(wish, 0)),
    <f32>curveOfOne(curve, f32x4.extract_lane(wish, 1)),
    <f32>curveOfOne(curve, f32x4.extract_lane(wish, 2)),
    <f32>curveOfOne(curve, f32x4.extract_lane(wish, 3)),
  );
}

/** Factors from two colours to two luminances; NaN for a colour that has no luminance. */
@inline
function scales(target: v128, r: v128, g: v128, b: v128): v128 {
  const rg = f64x2.add(f64x2.mul(f64x2.splat(lumaR), r), f64x2.mul(f64x2.splat(lumaG), g));
  const own = f64x2.add(rg, f64x2.mul(f64x2.splat(lumaB), b));
  const scale = f64x2.div(target, own);
  const scalable = v128.and(f64x2.gt(own, f64x2.splat(0)), f64x2.lt(f64x2.abs(scale), f64x2.splat(Infinity)));
  return v128.bitselect(scale, f64x2.splat(NaN), scalable);
}

/** One channel of four colours scaled; that of grey where there is no scale, and left alone where there is no colour. */
@inline
function scaled(plane: usize, light: v128, low: v128, high: v128, target: v128, display: bool): void {
  let value = joined(f64x2.mul(f64x2.promote_low_f32x4(light), low), f64x2.mul(upper(light), high));
  value = v128.bitselect(value, target, f32x4.eq(value, value));
  if (display) value = encodeFour(value);
  v128.store(plane, v128.bitselect(value, light, f32x4.eq(light, light)));
}

/**
 * The weighted sum of the stretched channels becomes the luminance, ratios kept in linear light; a colour without
 * luminance becomes grey. `display` says that colours are display values, `lifted` that the intensity curve makes light.
 */
export function replaceLightness(channels: i32, display: bool, lifted: bool, count: i32): void {
  const end = (<usize>count) << 2;
  for (let at: usize = 0; at < end; at += 16) {
    const wish = wishes(channels, at);
    const target = lifted ? lift(wish) : decodeFour(wish);
    let r = v128.load(red + at);
    let g = v128.load(green + at);
    let b = v128.load(blue + at);
    if (display) {
      r = decodeFour(r);
      g = decodeFour(g);
      b = decodeFour(b);
    }
    const lowRed = f64x2.promote_low_f32x4(r);
    const low = scales(f64x2.promote_low_f32x4(target), lowRed, f64x2.promote_low_f32x4(g), f64x2.promote_low_f32x4(b));
    const high = scales(upper(target), upper(r), upper(g), upper(b));
    scaled(red + at, r, low, high, target, display);
    scaled(green + at, g, low, high, target, display);
    scaled(blue + at, b, low, high, target, display);
  }
}
