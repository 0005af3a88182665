/** A prefix code of DEFLATE (RFC 1951, section 3.2.2), ready for decoding bits that arrive lowest first. */
export interface PrefixCode {
  /** For each run of FAST_BITS bits: symbol << 4 | length of its code; 0 where the code is longer or none. */
  readonly fast: Uint16Array;
  /** How many codes there are of each length, 0 to 15. */
  readonly counts: Uint16Array;
  /** Symbols in the order of their codes. */
  readonly symbols: Uint16Array;
}

export const FAST_BITS = 10;
const MAX_BITS = 15;

/** Builds the code from the length of each symbol's code; undefined where more codes are asked for than exist. */
export const prefixCode = (lengths: Uint8Array): PrefixCode | undefined => {
  const counts = new Uint16Array(MAX_BITS + 1);
  for (const length of lengths) counts[length]!++;
  counts[0] = 0;
  const next = new Uint16Array(MAX_BITS + 2);
  const offsets = new Uint16Array(MAX_BITS + 2);
  let code = 0;
  for (let bits = 1; bits <= MAX_BITS; bits++) {
    next[bits] = code;
    code += counts[bits]!;
    if (code > 1 << bits) return undefined;
    code <<= 1;
    offsets[bits + 1] = offsets[bits]! + counts[bits]!;
  }
  const symbols = new Uint16Array(lengths.length);
  const fast = new Uint16Array(1 << FAST_BITS);
  for (let symbol = 0; symbol < lengths.length; symbol++) {
    const length = lengths[symbol]!;
    if (length === 0) continue;
    symbols[offsets[length]!++] = symbol;
    const own = next[length]!++;
    if (length > FAST_BITS) continue;
    for (let i = reverseBits(own, length); i < fast.length; i += 1 << length) fast[i] = (symbol << 4) | length;
  }
  return { fast, counts, symbols };
};

/** Symbol << 4 | length for a code longer than FAST_BITS, or -1 where the bits are no code. */
export const decodeLong = (code: PrefixCode, bits: number): number => {
  let value = 0;
  let first = 0;
  let index = 0;
  for (let length = 1; length <= MAX_BITS; length++) {
    value |= (bits >>> (length - 1)) & 1;
    const count = code.counts[length]!;
    if (value - first < count) return (code.symbols[index + value - first]! << 4) | length;
    index += count;
    first = (first + count) << 1;
    value <<= 1;
  }
  return -1;
};

const reverseBits = (value: number, count: number): number => {
  let reversed = 0;
  for (let i = 0; i < count; i++) reversed |= ((value >>> i) & 1) << (count - 1 - i);
  return reversed;
};
