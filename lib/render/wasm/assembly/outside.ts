import { blue, green, red } from './channel';
import { describe, greens, lightness, reduceFourChromas, yellows } from './chroma';
import { estimate, exitOfTwo, greysOf, limited } from './exit';
import { bendsOf } from './path';
import { decodeFour, encodeFour } from './transfer';

// Colours outside the cube, gathered from a block: four at a time, none of them idle.

/** Four colours in linear light, red, green and blue one after the other. */
const light = memory.data(3 * 16, 16);
/** Two and two of them as float64. */
const lower = memory.data(3 * 16, 16);
const upper = memory.data(3 * 16, 16);

@inline
function gather(plane: usize, at: usize): v128 {
  let four = v128.load32_zero(plane + <usize>load<i32>(at));
  four = v128.load_lane<u32>(plane + <usize>load<i32>(at, 4), four, 1);
  four = v128.load_lane<u32>(plane + <usize>load<i32>(at, 8), four, 2);
  return v128.load_lane<u32>(plane + <usize>load<i32>(at, 12), four, 3);
}

@inline
function scatter(plane: usize, at: usize, four: v128): void {
  v128.store_lane<u32>(plane + <usize>load<i32>(at), four, 0);
  v128.store_lane<u32>(plane + <usize>load<i32>(at, 4), four, 1);
  v128.store_lane<u32>(plane + <usize>load<i32>(at, 8), four, 2);
  v128.store_lane<u32>(plane + <usize>load<i32>(at, 12), four, 3);
}

@inline
function joined(low: v128, up: v128): v128 {
  return v128.shuffle<u64>(f32x4.demote_f64x2_zero(low), f32x4.demote_f64x2_zero(up), 0, 2);
}

/** The method `smooth` for the four colours in `light`. */
function smoothFour(): void {
  describe(light, true);
  const least = f32x4.pmin(f32x4.pmin(v128.load(light), v128.load(light, 16)), v128.load(light, 32));
  const light0 = v128.load(lightness);
  const light1 = v128.load(lightness, 16);
  const grey0 = greysOf(light0);
  const grey1 = greysOf(light1);
  const l0 = limited(light0);
  const l1 = limited(light1);
  const a0 = v128.andnot(v128.load(greens), grey0);
  const a1 = v128.andnot(v128.load(greens, 16), grey1);
  const b0 = v128.andnot(v128.load(yellows), grey0);
  const b1 = v128.andnot(v128.load(yellows, 16), grey1);
  const bend0 = bendsOf(a0, b0);
  const bend1 = bendsOf(a1, b1);
  const u = estimate(joined(l0, l1), joined(a0, a1), joined(b0, b1), joined(bend0, bend1), least);
  exitOfTwo(l0, a0, b0, bend0, grey0, u, lower);
  exitOfTwo(l1, a1, b1, bend1, grey1, v128.shuffle<u64>(u, u, 1, 1), upper);
  for (let i: usize = 0; i < 48; i += 16) v128.store(light + i, joined(v128.load(lower + i), v128.load(upper + i)));
}

/** Maps the colours at the places of a list, behind which there is room for three more; display values by way of light. */
export function reduceListed(list: usize, end: usize, smooth: bool, display: bool): void {
  if (list == end) return;
  const last = load<i32>(end - 4);
  // The last colour fills up its four.
  for (let i: usize = 0; i < 12; i += 4) store<i32>(end + i, last);
  for (let at = list; at < end; at += 16) {
    const r = gather(red, at);
    const g = gather(green, at);
    const b = gather(blue, at);
    v128.store(light, display ? decodeFour(r) : r);
    v128.store(light, display ? decodeFour(g) : g, 16);
    v128.store(light, display ? decodeFour(b) : b, 32);
    if (smooth) smoothFour();
    else reduceFourChromas(light);
    const toR = v128.load(light);
    const toG = v128.load(light, 16);
    const toB = v128.load(light, 32);
    scatter(red, at, display ? encodeFour(toR) : toR);
    scatter(green, at, display ? encodeFour(toG) : toG);
    scatter(blue, at, display ? encodeFour(toB) : toB);
  }
}
