import { blue, curveAt, green, INTENSITY, planeAt, red } from './channel';
import { curveOfOne } from './curve';
import { weightAt } from './mix';

// Mixes in light with weights of both signs: what cancels is kept by float64 until a colour is complete.

/** As in lib/plane/signed-sum.ts. */
const NOISE: f64 = 1.0 / 4294967296;

@inline
function orNothing(sum: f64, sizes: f64): f64 {
  return abs(sum) <= sizes * NOISE ? 0 : sum;
}

/**
 * The weighted sums of float64 planes, the intensity curve where `lifts`, and the green limit where `amount` is above 0,
 * to the colour planes. A NaN in any channel makes all three NaN.
 */
export function mixWide(channels: i32, lifts: bool, amount: f64, larger: bool, count: i32): void {
  const curve = curveAt(INTENSITY);
  for (let i = 0; i < count; i++) {
    let r: f64 = 0;
    let g: f64 = 0;
    let b: f64 = 0;
    let sizeR: f64 = 0;
    let sizeG: f64 = 0;
    let sizeB: f64 = 0;
    for (let c = 0; c < channels; c++) {
      const e = load<f64>(planeAt(c) + (<usize>i << 3));
      const partR = weightAt(0, c) * e;
      const partG = weightAt(1, c) * e;
      const partB = weightAt(2, c) * e;
      r += partR;
      g += partG;
      b += partB;
      sizeR += abs(partR);
      sizeG += abs(partG);
      sizeB += abs(partB);
    }
    r = orNothing(r, sizeR);
    g = orNothing(g, sizeG);
    b = orNothing(b, sizeB);
    if (lifts) {
      const intensity = orNothing(r + g + b, abs(r) + abs(g) + abs(b)) / 3;
      const factor = intensity > 0 ? curveOfOne(curve, min(1, intensity)) / intensity : 0;
      r *= factor;
      g *= factor;
      b *= factor;
    }
    if (amount > 0) {
      const excess = g - (larger ? max(r, b) : (r + b) / 2);
      if (excess > 0) g -= amount * excess;
    }
    store<f32>(red + (<usize>i << 2), <f32>r);
    store<f32>(green + (<usize>i << 2), <f32>g);
    store<f32>(blue + (<usize>i << 2), <f32>b);
  }
}
