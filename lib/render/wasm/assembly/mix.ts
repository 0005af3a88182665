import { blue, curveAt, green, INTENSITY, MAX_CHANNELS, planeAt, red } from './channel';
import { curveOf } from './curve';

/** Weights as float64: rows red, green, blue, then lightness. */
const weights = memory.data(4 * MAX_CHANNELS * 8, 16);
/** The same as float32, each four times over. */
const vectors = memory.data(3 * MAX_CHANNELS * 16, 16);

@inline
export function weightAt(row: i32, c: i32): f64 {
  return load<f64>(weights + <usize>((row * MAX_CHANNELS + c) << 3));
}

export function setWeight(row: i32, c: i32, weight: f64): void {
  store<f64>(weights + <usize>((row * MAX_CHANNELS + c) << 3), weight);
  if (row < 3) v128.store(vectors + <usize>((c * 3 + row) << 4), f32x4.splat(<f32>weight));
}

/** The usual three channels: all weights stay in registers. */
function mixThree(end: usize): void {
  const r0 = v128.load(vectors);
  const g0 = v128.load(vectors, 16);
  const b0 = v128.load(vectors, 32);
  const r1 = v128.load(vectors, 48);
  const g1 = v128.load(vectors, 64);
  const b1 = v128.load(vectors, 80);
  const r2 = v128.load(vectors, 96);
  const g2 = v128.load(vectors, 112);
  const b2 = v128.load(vectors, 128);
  for (let i: usize = 0; i < end; i += 16) {
    const x = v128.load(planeAt(0) + i);
    const y = v128.load(planeAt(1) + i);
    const z = v128.load(planeAt(2) + i);
    v128.store(red + i, f32x4.add(f32x4.add(f32x4.mul(x, r0), f32x4.mul(y, r1)), f32x4.mul(z, r2)));
    v128.store(green + i, f32x4.add(f32x4.add(f32x4.mul(x, g0), f32x4.mul(y, g1)), f32x4.mul(z, g2)));
    v128.store(blue + i, f32x4.add(f32x4.add(f32x4.mul(x, b0), f32x4.mul(y, b1)), f32x4.mul(z, b2)));
  }
}

/** Weighted sums of the stretched planes to the colour planes. A NaN in any channel makes all three NaN. */
export function mix(channels: i32, count: i32): void {
  const end = <usize>count << 2;
  if (channels == 3) {
    mixThree(end);
    return;
  }
  for (let i: usize = 0; i < end; i += 16) {
    const first = v128.load(planeAt(0) + i);
    let r = f32x4.mul(first, v128.load(vectors));
    let g = f32x4.mul(first, v128.load(vectors, 16));
    let b = f32x4.mul(first, v128.load(vectors, 32));
    for (let c = 1; c < channels; c++) {
      const e = v128.load(planeAt(c) + i);
      const at = vectors + <usize>(c * 48);
      r = f32x4.add(r, f32x4.mul(e, v128.load(at)));
      g = f32x4.add(g, f32x4.mul(e, v128.load(at, 16)));
      b = f32x4.add(b, f32x4.mul(e, v128.load(at, 32)));
    }
    v128.store(red + i, r);
    v128.store(green + i, g);
    v128.store(blue + i, b);
  }
}

/** Intensity I (mean of the three colours) to F(I), ratios kept; colours without intensity become black. */
export function lift(count: i32): void {
  const curve = curveAt(INTENSITY);
  const one = f32x4.splat(1);
  const zero = f32x4.splat(0);
  const end = <usize>count << 2;
  for (let i: usize = 0; i < end; i += 16) {
    const r = v128.load(red + i);
    const g = v128.load(green + i);
    const b = v128.load(blue + i);
    const intensity = f32x4.div(f32x4.add(f32x4.add(r, g), b), f32x4.splat(3));
    const positive = f32x4.gt(intensity, zero);
    const lifted = curveOf(curve, f32x4.pmax(f32x4.pmin(intensity, one), zero));
    const factor = v128.and(f32x4.div(lifted, intensity), positive);
    v128.store(red + i, f32x4.mul(r, factor));
    v128.store(green + i, f32x4.mul(g, factor));
    v128.store(blue + i, f32x4.mul(b, factor));
  }
}

/** G′ = (1 − amount)·G + amount·m where G exceeds m, the mean or the larger of red and blue. */
export function limitGreen(amount: f32, larger: bool, count: i32): void {
  const keep = f32x4.splat(1 - amount);
  const take = f32x4.splat(amount);
  const half = f32x4.splat(0.5);
  const end = <usize>count << 2;
  for (let i: usize = 0; i < end; i += 16) {
    const r = v128.load(red + i);
    const g = v128.load(green + i);
    const b = v128.load(blue + i);
    const m = larger ? f32x4.pmax(r, b) : f32x4.mul(f32x4.add(r, b), half);
    const limited = f32x4.add(f32x4.mul(keep, g), f32x4.mul(take, m));
    v128.store(green + i, v128.bitselect(limited, g, f32x4.gt(g, m)));
  }
}
