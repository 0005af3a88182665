import { blue, green, red } from './channel';
import { reduceFourChromas } from './chroma';
import { decodeFour, encodeFour } from './transfer';

// Highlights and gamut: what happens to colours outside [0, 1].

/** Gamut methods by the numbers that `load-plan.ts` gives them. */
export const CLIP: i32 = 0;
const SMOOTH: i32 = 2;

/** Four colours in linear light, red, green and blue one after the other. */
const light = memory.data(3 * 16, 16);

/** Reduces the chroma of the colours among four whose bit is set; display values go through light and back. */
function reduceFour(at: usize, lanes: i32, smooth: bool, display: bool): void {
  const r = v128.load(red + at);
  const g = v128.load(green + at);
  const b = v128.load(blue + at);
  v128.store(light, display ? decodeFour(r) : r);
  v128.store(light, display ? decodeFour(g) : g, 16);
  v128.store(light, display ? decodeFour(b) : b, 32);
  reduceFourChromas(light, lanes, smooth);
  const bits = i32x4(1, 2, 4, 8);
  const chosen = i32x4.eq(v128.and(i32x4.splat(lanes), bits), bits);
  const toR = v128.load(light);
  const toG = v128.load(light, 16);
  const toB = v128.load(light, 32);
  v128.store(red + at, v128.bitselect(display ? encodeFour(toR) : toR, r, chosen));
  v128.store(green + at, v128.bitselect(display ? encodeFour(toG) : toG, g, chosen));
  v128.store(blue + at, v128.bitselect(display ? encodeFour(toB) : toB, b, chosen));
}

/** Brings colours brighter than the range back, by ratio or cut. */
export function limitHighlights(ratio: bool, count: i32): void {
  const end = <usize>count << 2;
  for (let i: usize = 0; i < end; i += 16) bringBack(i, ratio);
}

/** Four colours; the least of their channels before that. */
@inline
function bringBack(i: usize, ratio: bool): v128 {
  const one = f32x4.splat(1);
  const r = v128.load(red + i);
  const g = v128.load(green + i);
  const b = v128.load(blue + i);
  const most = f32x4.pmax(f32x4.pmax(r, g), b);
  const over = f32x4.gt(most, one);
  if (v128.any_true(over)) {
    const divisor = v128.bitselect(most, one, over);
    v128.store(red + i, ratio ? f32x4.div(r, divisor) : f32x4.pmin(r, one));
    v128.store(green + i, ratio ? f32x4.div(g, divisor) : f32x4.pmin(g, one));
    v128.store(blue + i, ratio ? f32x4.div(b, divisor) : f32x4.pmin(b, one));
  }
  return f32x4.pmin(f32x4.pmin(r, g), b);
}

/** Brings colours brighter than the range back (by ratio, or cut), then maps those with a negative channel. */
export function limit(ratio: bool, gamut: i32, display: bool, count: i32): void {
  // Nearer colours are clipped when they are stored, as the method itself does in light.
  const least = f32x4.splat(display ? -1.292e-8 : -1e-9);
  const end = <usize>count << 2;
  for (let i: usize = 0; i < end; i += 16) {
    const below = i32x4.bitmask(f32x4.lt(bringBack(i, ratio), least));
    if (below != 0 && gamut != CLIP) reduceFour(i, below, gamut == SMOOTH, display);
  }
}
