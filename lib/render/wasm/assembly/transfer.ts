import { blue, curveAt, DECODE, ENCODE, green, red } from './channel';
import { lookUp, lookUpOne } from './table';

// Beyond the tables' reach the exact functions of the host are asked: that is rare.
@external("env", "decode")
declare function hostDecode(value: f64): f64;
@external("env", "encode")
declare function hostEncode(light: f64): f64;

/** How far the tables reach; set by the host. */
let decodeTop: f64 = 1;
let encodeTop: f64 = 1;

export function setTransferReach(decode: f64, encode: f64): void {
  decodeTop = decode;
  encodeTop = encode;
}

/** Display value to linear light, odd-symmetric. */
export function decode(value: f64): f64 {
  const size = abs(value);
  if (!(size < decodeTop)) return hostDecode(value);
  return copysign(lookUpOne(curveAt(DECODE), size), value);
}

/** Linear light to display value, odd-symmetric. */
export function encode(light: f64): f64 {
  const size = abs(light);
  if (!(size < encodeTop)) return hostEncode(light);
  return copysign(lookUpOne(curveAt(ENCODE), size), light);
}

/** Four display values to linear light, odd-symmetric; beyond the tables one by one. */
export function decodeFour(value: v128): v128 {
  return four(value, DECODE, decodeTop);
}

/** Four values of linear light to display values. */
export function encodeFour(light: v128): v128 {
  return four(light, ENCODE, encodeTop);
}

function four(value: v128, which: i32, top: f64): v128 {
  const size = f32x4.abs(value);
  if (v128.any_true(f32x4.ge(size, f32x4.splat(<f32>top)))) return oneByOne(value, which);
  const curve = curveAt(which);
  const found = lookUp(size, curve.table, curve.bits, i32x4.splat(curve.base), i32x4.splat(curve.last));
  return v128.or(found, v128.and(value, i32x4.splat(0x80000000)));
}

function oneByOne(value: v128, which: i32): v128 {
  const a = <f64>f32x4.extract_lane(value, 0);
  const b = <f64>f32x4.extract_lane(value, 1);
  const c = <f64>f32x4.extract_lane(value, 2);
  const d = <f64>f32x4.extract_lane(value, 3);
  if (which == DECODE) return f32x4(<f32>decode(a), <f32>decode(b), <f32>decode(c), <f32>decode(d));
  return f32x4(<f32>encode(a), <f32>encode(b), <f32>encode(c), <f32>encode(d));
}

/** The colours of a block from display values to linear light, whatever their range. */
export function lightOfColours(count: i32): void {
  const end = <usize>count << 2;
  for (let i: usize = 0; i < end; i += 16) {
    v128.store(red + i, decodeFour(v128.load(red + i)));
    v128.store(green + i, decodeFour(v128.load(green + i)));
    v128.store(blue + i, decodeFour(v128.load(blue + i)));
  }
}
