import { blue, curveAt, green, INTENSITY, planeAt, red } from './channel';
import { curveOfOne } from './curve';
import { weightAt } from './mix';

// Mixes in light with weights of both signs, two pixels at a time: what cancels is kept by float64 until a colour is
// complete.

/** As in lib/plane/signed-sum.ts. */
const NOISE: f64 = 1.0 / 4294967296;

/** Sums, 0 where they are rounding of terms of these sizes; NaN stays NaN. */
@inline
function orNothing(sum: v128, sizes: v128): v128 {
  return v128.andnot(sum, f64x2.le(f64x2.abs(sum), f64x2.mul(sizes, f64x2.splat(NOISE))));
}

/** F(I) / I; 0 where there is no intensity. */
@inline
function factorOf(intensity: f64): f64 {
  return intensity > 0 ? curveOfOne(curveAt(INTENSITY), min(1, intensity)) / intensity : 0;
}

@inline
function storeTwo(to: usize, values: v128): void {
  store<i64>(to, i64x2.extract_lane(f32x4.demote_f64x2_zero(values), 0));
}

/**
 * The weighted sums of float64 planes, the intensity curve where `lifts`, and the green limit where `amount` is above 0,
 * to the colour planes. A NaN in any channel makes all three NaN. `count` is even.
 */
export function mixWide(channels: i32, lifts: bool, amount: f64, larger: bool, count: i32): void {
  for (let i = 0; i < count; i += 2) {
    let r = f64x2.splat(0);
    let g = f64x2.splat(0);
    let b = f64x2.splat(0);
    let sizeR = f64x2.splat(0);
    let sizeG = f64x2.splat(0);
    let sizeB = f64x2.splat(0);
    for (let c = 0; c < channels; c++) {
      const e = v128.load(planeAt(c) + (<usize>i << 3));
      const partR = f64x2.mul(f64x2.splat(weightAt(0, c)), e);
      const partG = f64x2.mul(f64x2.splat(weightAt(1, c)), e);
      const partB = f64x2.mul(f64x2.splat(weightAt(2, c)), e);
      r = f64x2.add(r, partR);
      g = f64x2.add(g, partG);
      b = f64x2.add(b, partB);
      sizeR = f64x2.add(sizeR, f64x2.abs(partR));
      sizeG = f64x2.add(sizeG, f64x2.abs(partG));
      sizeB = f64x2.add(sizeB, f64x2.abs(partB));
    }
    r = orNothing(r, sizeR);
    g = orNothing(g, sizeG);
    b = orNothing(b, sizeB);
    if (lifts) {
      const sizes = f64x2.add(f64x2.add(f64x2.abs(r), f64x2.abs(g)), f64x2.abs(b));
      const intensity = f64x2.div(orNothing(f64x2.add(f64x2.add(r, g), b), sizes), f64x2.splat(3));
      const factor = f64x2(
        factorOf(f64x2.extract_lane(intensity, 0)),
        factorOf(f64x2.extract_lane(intensity, 1)),
      );
      r = f64x2.mul(r, factor);
      g = f64x2.mul(g, factor);
      b = f64x2.mul(b, factor);
    }
    if (amount > 0) {
      const most = larger ? f64x2.pmax(r, b) : f64x2.mul(f64x2.add(r, b), f64x2.splat(0.5));
      const excess = f64x2.sub(g, most);
      const taken = f64x2.mul(f64x2.splat(amount), excess);
      g = f64x2.sub(g, v128.and(taken, f64x2.gt(excess, f64x2.splat(0))));
    }
    const to = <usize>i << 2;
    storeTwo(red + to, r);
    storeTwo(green + to, g);
    storeTwo(blue + to, b);
  }
}
