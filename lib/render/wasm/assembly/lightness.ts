import { blue, curveAt, DECODE, green, INTENSITY, planeAt, red } from './channel';
import { curveOfOne } from './curve';
import { weightAt } from './mix';
import { decode, encode } from './transfer';

/** Weights of red, green and blue in the luminance of the space. */
let lumaR: f64 = 0;
let lumaG: f64 = 0;
let lumaB: f64 = 0;

export function setLuminance(r: f64, g: f64, b: f64): void {
  lumaR = r;
  lumaG = g;
  lumaB = b;
}

/**
 * The weighted sum of the stretched channels becomes the luminance, ratios kept in linear light; a colour without
 * luminance becomes grey. `display` says that colours are display values, `lifted` that the intensity curve makes light.
 */
export function replaceLightness(channels: i32, display: bool, lifted: bool, count: i32): void {
  const curve = curveAt(INTENSITY);
  for (let i = 0; i < count; i++) {
    const at = (<usize>i) << 2;
    let sum: f64 = 0;
    for (let c = 0; c < channels; c++) sum += weightAt(3, c) * <f64>load<f32>(planeAt(c) + at);
    const wish = max(0, min(1, sum));
    const target = lifted ? curveOfOne(curve, wish) : decode(wish);
    let r = <f64>load<f32>(red + at);
    let g = <f64>load<f32>(green + at);
    let b = <f64>load<f32>(blue + at);
    if (r != r) continue;
    if (display) {
      r = decode(r);
      g = decode(g);
      b = decode(b);
    }
    const own = lumaR * r + lumaG * g + lumaB * b;
    const scale = target / own;
    const scalable = own > 0 && abs(scale) < Infinity;
    r = scalable ? r * scale : target;
    g = scalable ? g * scale : target;
    b = scalable ? b * scale : target;
    if (display) {
      r = encode(r);
      g = encode(g);
      b = encode(b);
    }
    store<f32>(red + at, <f32>r);
    store<f32>(green + at, <f32>g);
    store<f32>(blue + at, <f32>b);
  }
}
