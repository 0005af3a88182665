import { blue, green, red } from './channel';
import { reduceFour } from './chroma';
import { approach, begin, leave, setBends } from './exit';
import { BATCH, describe } from './oklab';
import { decodeFour, encodeFour } from './transfer';

// Colours outside the cube, gathered from a block: four at a time, none of them idle. Each step is a loop of its own over a
// batch, so that the processor works on several of its turns at once; in one loop, each would wait for the one before.

/** Linear red, green and blue of a batch. */
const light = memory.data(3 * 128 * 4, 16);
const PLANE: usize = BATCH * 4;

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

/** A batch from the places of a list, and its OKLab; display values by way of light. */
function take(list: usize, bytes: usize, display: bool, floors: bool): void {
  for (let i: usize = 0; i < bytes; i += 16) {
    let r = gather(red, list + i);
    let g = gather(green, list + i);
    let b = gather(blue, list + i);
    if (display) {
      r = decodeFour(r);
      g = decodeFour(g);
      b = decodeFour(b);
    }
    describe(r, g, b, floors, i << 1);
  }
}

/** A batch back to its places. */
function give(list: usize, bytes: usize, display: bool): void {
  for (let i: usize = 0; i < bytes; i += 16) {
    const r = v128.load(light + i);
    const g = v128.load(light + i, PLANE);
    const b = v128.load(light + i, 2 * PLANE);
    scatter(red, list + i, display ? encodeFour(r) : r);
    scatter(green, list + i, display ? encodeFour(g) : g);
    scatter(blue, list + i, display ? encodeFour(b) : b);
  }
}

/** Maps the colours at the places of a list, behind which there is room for three more. */
export function reduceListed(list: usize, end: usize, smooth: bool, display: bool): void {
  if (list == end) return;
  const last = load<i32>(end - 4);
  // The last colour fills up its four.
  for (let i: usize = 0; i < 12; i += 4) store<i32>(end + i, last);
  for (; list < end; list += PLANE) {
    const bytes = min(PLANE, (end - list + 15) & ~15);
    take(list, bytes, display, smooth);
    if (smooth) {
      setBends(bytes);
      begin(bytes);
      approach(bytes);
      leave(bytes, light, PLANE);
    } else for (let i: usize = 0; i < bytes; i += 16) reduceFour(i << 1, light + i, PLANE);
    give(list, bytes, display);
  }
}
