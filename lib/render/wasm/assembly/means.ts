// Three running means across and down, as lib/check/planes/blur.ts, which says what they are. Every operation has the precision
// and the order that it has there: the bytes are the same. Two rows, or two columns, go through it side by side.

const TIMES: i32 = 3;
/** Columns that are averaged together, and the bytes of a row of them. */
const TOGETHER: i32 = 64;
const ROW: usize = 256;
const sums = memory.data(8 * 64, 16);

@inline
function meanAt(sum: v128, outside: v128, edge: v128, scale: v128): v128 {
  return f64x2.mul(scale, f64x2.add(sum, f64x2.mul(edge, outside)));
}

/** One mean of two rows whose values alternate, with zeros around. */
@inline
function meanAcross(row: usize, other: usize, width: i32, reach: i32, edge: v128, scale: v128): void {
  const margin = reach + 1;
  let sum = f64x2.splat(0);
  for (let x = margin; x < margin + reach; x++) sum = f64x2.add(sum, v128.load(row + (<usize>x << 4)));
  const last = <usize>(margin + reach) << 4;
  for (let x = 0; x < width; x++) {
    const at = row + (<usize>x << 4);
    sum = f64x2.add(sum, v128.load(at + last));
    const outside = f64x2.add(v128.load(at), v128.load(at + last + 16));
    v128.store(other + (<usize>(x + margin) << 4), meanAt(sum, outside, edge, scale));
    sum = f64x2.sub(sum, v128.load(at + 16));
  }
}

/** All means of each row, in place. @param row room for two rows and margins, twice */
export function meansAcross(plane: usize, width: i32, height: i32, row: usize, reach: i32, edge: f64, scale: f64): void {
  const margin = reach + 1;
  const size = <usize>(width + 2 * margin) << 4;
  memory.fill(row, 0, 2 * size);
  const edges = f64x2.splat(edge);
  const scales = f64x2.splat(scale);
  for (let y = 0; y < height; y += 2) {
    const one = plane + (<usize>(y * width) << 2);
    // The last row of an odd number goes with itself.
    const two = y + 1 < height ? one + (<usize>width << 2) : one;
    let some = row;
    let other = row + size;
    for (let x = 0; x < width; x++) {
      const at = some + (<usize>(margin + x) << 4);
      store<f64>(at, <f64>load<f32>(one + (<usize>x << 2)));
      store<f64>(at + 8, <f64>load<f32>(two + (<usize>x << 2)));
    }
    for (let time = 0; time < TIMES; time++) {
      meanAcross(some, other, width, reach, edges, scales);
      const kept = some;
      some = other;
      other = kept;
    }
    for (let x = 0; x < width; x++) {
      const at = some + (<usize>(margin + x) << 4);
      store<f32>(one + (<usize>x << 2), <f32>load<f64>(at));
      store<f32>(two + (<usize>x << 2), <f32>load<f64>(at + 8));
    }
  }
}

@inline
function wide(at: usize): v128 {
  return f64x2.promote_low_f32x4(v128.load64_zero(at));
}

/** One mean down some columns, with zeros above and below. */
@inline
function meanDown(some: usize, other: usize, height: i32, reach: i32, edge: v128, scale: v128): void {
  const margin = <usize>(reach + 1);
  memory.fill(sums, 0, 8 * TOGETHER);
  for (let y = margin; y < margin + <usize>reach; y++)
    for (let x: usize = 0; x < ROW; x += 8) {
      const at = sums + 2 * x;
      v128.store(at, f64x2.add(v128.load(at), wide(some + y * ROW + x)));
    }
  const last = (margin + <usize>reach) * ROW;
  for (let y = 0; y < height; y++) {
    const from = some + <usize>y * ROW;
    const to = other + (<usize>y + margin) * ROW;
    for (let x: usize = 0; x < ROW; x += 8) {
      const at = from + x;
      const sum = f64x2.add(v128.load(sums + 2 * x), wide(at + last));
      const outside = f64x2.add(wide(at), wide(at + last + ROW));
      v128.store64_lane(to + x, f32x4.demote_f64x2_zero(meanAt(sum, outside, edge, scale)), 0);
      v128.store(sums + 2 * x, f64x2.sub(sum, wide(at + ROW)));
    }
  }
}

/** All means of each column, in place. @param columns room for 64 columns and margins, twice */
export function meansDown(
  plane: usize,
  width: i32,
  height: i32,
  columns: usize,
  reach: i32,
  edge: f64,
  scale: f64,
): void {
  const margin = <usize>(reach + 1);
  const size = (<usize>height + 2 * margin) * ROW;
  memory.fill(columns, 0, 2 * size);
  const edges = f64x2.splat(edge);
  const scales = f64x2.splat(scale);
  for (let left = 0; left < width; left += TOGETHER) {
    const bytes = <usize>min(TOGETHER, width - left) << 2;
    let some = columns;
    let other = columns + size;
    const first = plane + (<usize>left << 2);
    for (let y = 0; y < height; y++)
      memory.copy(some + (margin + <usize>y) * ROW, first + (<usize>(y * width) << 2), bytes);
    for (let time = 0; time < TIMES; time++) {
      meanDown(some, other, height, reach, edges, scales);
      const kept = some;
      some = other;
      other = kept;
    }
    for (let y = 0; y < height; y++)
      memory.copy(first + (<usize>(y * width) << 2), some + (margin + <usize>y) * ROW, bytes);
  }
}
