import { BIAS, Curve, TABLE } from './channel';
import { lookUp, lookUpOne } from './table';

/** t / (a + b · (t · sign + shift)). */
@inline
export function biasOf(t: v128, a: v128, b: v128, sign: v128, shift: v128): v128 {
  const w = f32x4.add(f32x4.mul(t, sign), shift);
  return f32x4.div(t, f32x4.add(a, f32x4.mul(b, w)));
}

/** Any curve for four numbers in [0, 1]. */
@inline
export function curveOf(curve: Curve, t: v128): v128 {
  if (curve.kind == BIAS)
    return biasOf(
      t,
      f32x4.splat(curve.a),
      f32x4.splat(curve.b),
      f32x4.splat(curve.sign),
      f32x4.splat(curve.shift),
    );
  if (curve.kind == TABLE)
    return lookUp(t, curve.table, curve.bits, i32x4.splat(curve.base), i32x4.splat(curve.last));
  return t;
}

/** Any curve for one number in [0, 1]. */
export function curveOfOne(curve: Curve, t: f64): f64 {
  if (curve.kind == BIAS) return t / (<f64>curve.a + <f64>curve.b * (t * <f64>curve.sign + <f64>curve.shift));
  if (curve.kind == TABLE) return lookUpOne(curve, t);
  return t;
}
