import { Curve } from './channel';

// A table has one straight line for each run of float32 numbers that share their upper bits: cells are narrow where
// numbers are small, so curves that rise steeply from 0 are met as well as flat ones, and finding the cell is a shift.

/** value + slope · (t − start of the cell) for four numbers; NaN stays NaN. */
@inline
export function lookUp(t: v128, table: usize, bits: i32, base: v128, last: v128): v128 {
  const zero = i32x4.splat(0);
  // A signed shift: −0 falls into the first cell. NaN falls into the last, and slope · NaN is NaN.
  const cell = i32x4.max_s(i32x4.min_s(i32x4.sub(i32x4.shr_s(t, bits), base), last), zero);
  const at = i32x4.shl(cell, 3);
  let low = v128.load_zero<u64>(table + <usize>i32x4.extract_lane(at, 0));
  low = v128.load_lane<u64>(table + <usize>i32x4.extract_lane(at, 1), low, 1);
  let high = v128.load_zero<u64>(table + <usize>i32x4.extract_lane(at, 2));
  high = v128.load_lane<u64>(table + <usize>i32x4.extract_lane(at, 3), high, 1);
  const value = v128.shuffle<f32>(low, high, 0, 2, 4, 6);
  const slope = v128.shuffle<f32>(low, high, 1, 3, 5, 7);
  // The first cell begins at 0, the others where the lower bits are 0.
  const start = v128.and(v128.and(t, i32x4.splat(-1 << bits)), i32x4.gt_s(cell, zero));
  return f32x4.add(value, f32x4.mul(slope, f32x4.sub(t, start)));
}

/** The same for one number ≥ 0 that the table reaches. */
@inline
export function lookUpOne(curve: Curve, t: f64): f64 {
  const word = reinterpret<i32>(<f32>t);
  const cell = max(min((word >> curve.bits) - curve.base, curve.last), 0);
  const at = curve.table + (<usize>cell << 3);
  const start = cell > 0 ? reinterpret<f32>(word & (-1 << curve.bits)) : 0;
  return <f64>load<f32>(at) + <f64>load<f32>(at, 4) * (t - <f64>start);
}
