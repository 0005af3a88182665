import { BLOCK, blue, green, red } from './channel';
import { reduceListed } from './outside';

// Highlights and gamut: what happens to colours outside [0, 1].

/** Gamut methods by the numbers that `load-plan.ts` gives them. */
export const CLIP: i32 = 0;
const SMOOTH: i32 = 2;

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

/** Where in the planes the colours with a negative channel are; there is room for three more behind the last. */
const list = memory.data(4 * (BLOCK + 4), 16);

/** Appends those of the four places from `i` on whose bit is set. */
@inline
function append(to: usize, i: i32, bits: i32): usize {
  for (let lane = 0; lane < 4; lane++) {
    store<i32>(to, i + (lane << 2));
    to += ((bits >> lane) & 1) << 2;
  }
  return to;
}

/** Brings colours brighter than the range back (by ratio, or cut), then maps those with a negative channel. */
export function limit(ratio: bool, gamut: i32, display: bool, count: i32): void {
  // Nearer colours are clipped when they are stored, as the method itself does in light.
  const least = f32x4.splat(display ? -1.292e-8 : -1e-9);
  const end = <usize>count << 2;
  let listed = list;
  for (let i: usize = 0; i < end; i += 16) {
    const below = i32x4.bitmask(f32x4.lt(bringBack(i, ratio), least));
    if (below != 0 && gamut != CLIP) listed = append(listed, <i32>i, below);
  }
  reduceListed(list, listed, gamut == SMOOTH, display);
}
