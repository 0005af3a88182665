import { blue, green, red } from './channel';

// Linear light straight to 8-bit display codes: a code for where each cell of numbers begins, and the least light of every
// code, which tells whether the next one is reached. No cell holds two steps.

let cells: usize = 0;
let leasts: usize = 0;
let base: i32 = 0;

/** Where the host keeps both tables; `base` is the first cell's number by the upper 16 bits of a float32. */
export function setCodes(cellsAt: usize, leastsAt: usize, firstCell: i32): void {
  cells = cellsAt;
  leasts = leastsAt;
  base = firstCell;
}

/** Four values of light limited to [0, 1]; NaN gives 0. */
@inline
function light(plane: usize, i: usize): v128 {
  // With 0 as the first operand, the larger of 0 and NaN is 0.
  return f32x4.pmin(f32x4.pmax(f32x4.splat(0), v128.load(plane + i)), f32x4.splat(1));
}

@inline
function cellsOf(v: v128): v128 {
  return i32x4.max_s(i32x4.sub(i32x4.shr_u(v, 16), i32x4.splat(base)), i32x4.splat(0));
}

@inline
function code(cell: i32, v: f32): u32 {
  const first = <u32>load<u8>(cells + <usize>cell);
  return first + u32(v >= load<f32>(leasts + (<usize>first << 2), 4));
}

@inline
function pixel(r: i32, vr: f32, g: i32, vg: f32, b: i32, vb: f32): u32 {
  return code(r, vr) | (code(g, vg) << 8) | (code(b, vb) << 16);
}

/** The colour planes of a block, in light, as interleaved bytes. Runs over the end of the pixels by less than 16 bytes. */
export function storeCodes(to: usize, alpha: bool, count: i32): void {
  const step: usize = alpha ? 4 : 3;
  for (let i: usize = 0; i < <usize>count << 2; i += 16) {
    const r = light(red, i);
    const g = light(green, i);
    const b = light(blue, i);
    const cr = cellsOf(r);
    const cg = cellsOf(g);
    const cb = cellsOf(b);
    const whole = v128.load(red + i);
    const opaque = v128.and(f32x4.eq(whole, whole), i32x4.splat(0xff000000));
    const p0 = pixel(
      i32x4.extract_lane(cr, 0), f32x4.extract_lane(r, 0),
      i32x4.extract_lane(cg, 0), f32x4.extract_lane(g, 0),
      i32x4.extract_lane(cb, 0), f32x4.extract_lane(b, 0),
    );
    const p1 = pixel(
      i32x4.extract_lane(cr, 1), f32x4.extract_lane(r, 1),
      i32x4.extract_lane(cg, 1), f32x4.extract_lane(g, 1),
      i32x4.extract_lane(cb, 1), f32x4.extract_lane(b, 1),
    );
    const p2 = pixel(
      i32x4.extract_lane(cr, 2), f32x4.extract_lane(r, 2),
      i32x4.extract_lane(cg, 2), f32x4.extract_lane(g, 2),
      i32x4.extract_lane(cb, 2), f32x4.extract_lane(b, 2),
    );
    const p3 = pixel(
      i32x4.extract_lane(cr, 3), f32x4.extract_lane(r, 3),
      i32x4.extract_lane(cg, 3), f32x4.extract_lane(g, 3),
      i32x4.extract_lane(cb, 3), f32x4.extract_lane(b, 3),
    );
    store<u32>(to + 0 * step, p0 | i32x4.extract_lane(opaque, 0));
    store<u32>(to + 1 * step, p1 | i32x4.extract_lane(opaque, 1));
    store<u32>(to + 2 * step, p2 | i32x4.extract_lane(opaque, 2));
    store<u32>(to + 3 * step, p3 | i32x4.extract_lane(opaque, 3));
    to += 4 * step;
  }
}
