import { curveAt, DECODE, ENCODE } from './channel';
import { lookUpOne } from './table';

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
