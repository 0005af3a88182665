/** A sum over bytes that come in pieces. */
export interface Sum {
  add(bytes: Uint8Array): void;
  /** The lower 32 bits. */
  low(): number;
}

const [P1, P2, P3, P4, P5] = [
  0x9e3779b185ebca87n,
  0xc2b2ae3d27d4eb4fn,
  0x165667b19e3779f9n,
  0x85ebca77c2b2ae63n,
  0x27d4eb2f165667c5n,
] as const;
const MASK = 0xffffffffffffffffn;
const turn = (value: bigint, by: bigint): bigint => ((value << by) | (value >> (64n - by))) & MASK;

/** High and low half of the lane × a constant: 64-bit products from 16-bit digits, for the loop over all bytes. */
const multiply = (high: number, low: number, byHigh: number, byLow: number, into: Int32Array): void => {
  const [a, b, c, d] = [low & 0xffff, low >>> 16, byLow & 0xffff, byLow >>> 16];
  const ac = Math.imul(a, c) >>> 0;
  const middle = (Math.imul(b, c) >>> 0) + (ac >>> 16);
  const other = (Math.imul(a, d) >>> 0) + (middle & 0xffff);
  const carry = (Math.imul(b, d) >>> 0) + Math.floor(middle / 65536) + Math.floor(other / 65536);
  into[1] = (other << 16) | (ac & 0xffff);
  into[0] = (carry % 2 ** 32) + Math.imul(high, byLow) + Math.imul(low, byHigh);
};

const half = (value: bigint): [number, number] => [Number(value >> 32n) | 0, Number(value & 0xffffffffn) | 0];
const [P1H, P1L] = half(P1);
const [P2H, P2L] = half(P2);

/** One lane of 8 bytes: (lane + bytes × P2) turned by 31, × P1. */
const mix = (lanes: Int32Array, lane: number, low: number, high: number, product: Int32Array): void => {
  multiply(high, low, P2H, P2L, product);
  const sum = (lanes[lane + 1]! >>> 0) + (product[1]! >>> 0);
  const l = sum | 0;
  const h = (lanes[lane]! + product[0]! + (sum >= 2 ** 32 ? 1 : 0)) | 0;
  multiply((h << 31) | (l >>> 1), (l << 31) | (h >>> 1), P1H, P1L, product);
  lanes[lane] = product[0]!;
  lanes[lane + 1] = product[1]!;
};

const wide = (lanes: Int32Array, lane: number): bigint =>
  (BigInt(lanes[lane]! >>> 0) << 32n) | BigInt(lanes[lane + 1]! >>> 0);

const finish = (lanes: Int32Array, total: number, rest: Uint8Array): bigint => {
  const view = new DataView(rest.buffer, rest.byteOffset, rest.length);
  const [v1, v2, v3, v4] = [wide(lanes, 0), wide(lanes, 2), wide(lanes, 4), wide(lanes, 6)] as const;
  let h: bigint = P5;
  if (total >= 32) {
    h = (turn(v1, 1n) + turn(v2, 7n) + turn(v3, 12n) + turn(v4, 18n)) & MASK;
    for (const v of [v1, v2, v3, v4]) h = ((h ^ ((turn((v * P2) & MASK, 31n) * P1) & MASK)) * P1 + P4) & MASK;
  }
  h = (h + BigInt(total)) & MASK;
  let at = 0;
  for (; at + 8 <= rest.length; at += 8)
    h = (turn(h ^ ((turn((view.getBigUint64(at, true) * P2) & MASK, 31n) * P1) & MASK), 27n) * P1 + P4) & MASK;
  if (at + 4 <= rest.length) {
    h = (turn(h ^ ((BigInt(view.getUint32(at, true)) * P1) & MASK), 23n) * P2 + P3) & MASK;
    at += 4;
  }
  for (; at < rest.length; at++) h = (turn(h ^ ((BigInt(rest[at]!) * P5) & MASK), 11n) * P1) & MASK;
  h = ((h ^ (h >> 33n)) * P2) & MASK;
  h = ((h ^ (h >> 29n)) * P3) & MASK;
  return h ^ (h >> 32n);
};

/** XXH64 with seed 0 (xxHash specification 0.1.1), the sum that Zstandard frames end with (RFC 8878 §3.1.1). */
export const xxh64 = (): Sum => {
  const lanes = Int32Array.from([P1 + P2, P2, 0n, -P1].flatMap((lane) => half(lane & MASK)));
  const product = new Int32Array(2);
  const rest = new Uint8Array(32);
  let held = 0;
  let total = 0;
  const stripe = (bytes: Uint8Array, at: number) => {
    for (let lane = 0, i = at; lane < 8; lane += 2, i += 8) {
      const low = bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24);
      const high = bytes[i + 4]! | (bytes[i + 5]! << 8) | (bytes[i + 6]! << 16) | (bytes[i + 7]! << 24);
      mix(lanes, lane, low, high, product);
    }
  };
  return {
    add(bytes) {
      total += bytes.length;
      let at = 0;
      if (held > 0) {
        at = Math.min(32 - held, bytes.length);
        rest.set(bytes.subarray(0, at), held);
        held += at;
        if (held < 32) return;
        stripe(rest, 0);
      }
      for (; at + 32 <= bytes.length; at += 32) stripe(bytes, at);
      rest.set(bytes.subarray(at));
      held = bytes.length - at;
    },
    low: () => Number(finish(lanes, total, rest.subarray(0, held)) & 0xffffffffn),
  };
};
