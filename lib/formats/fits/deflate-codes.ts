import { decodeLong, FAST_BITS, type PrefixCode, prefixCode } from './huffman.ts';

/** Where inflating stands: plain data, so that a copy is a place to come back to. */
export interface InflateState {
  mode: 'header' | 'stored' | 'codes' | 'done';
  /** Bits taken from the input and not yet used, lowest first. */
  bits: number;
  bitCount: number;
  last: boolean;
  storedLeft: number;
  literals: PrefixCode;
  distances: PrefixCode;
  /** Next byte of the input; may run past its end by what padding with zero bits consumed. */
  from: number;
  /** Next place in the output. */
  at: number;
}

/** Input, padded with zeros without end; `overrun` notices. */
export const byteAt = (input: Uint8Array, from: number): number => (from < input.length ? input[from]! : 0);

export const takeBits = (state: InflateState, input: Uint8Array, count: number): number => {
  for (; state.bitCount < count; state.bitCount += 8) state.bits |= byteAt(input, state.from++) << state.bitCount;
  const value = state.bits & ((1 << count) - 1);
  state.bits >>>= count;
  state.bitCount -= count;
  return value;
};

/** Order in which the lengths of the code-length code are stored (RFC 1951, section 3.2.7). */
const LENGTH_ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/** Reads the codes of a block that brings its own. @returns '', or what is wrong. */
export const readCodes = (state: InflateState, input: Uint8Array): string => {
  const literalCount = takeBits(state, input, 5) + 257;
  const distanceCount = takeBits(state, input, 5) + 1;
  const lengthCount = takeBits(state, input, 4) + 4;
  const lengthLengths = new Uint8Array(19);
  for (let i = 0; i < lengthCount; i++) lengthLengths[LENGTH_ORDER[i]!] = takeBits(state, input, 3);
  const lengthCode = prefixCode(lengthLengths);
  const lengths = new Uint8Array(literalCount + distanceCount);
  for (let i = 0; i < lengths.length; ) {
    const symbol = lengthCode ? takeSymbol(state, input, lengthCode) : -1;
    if (symbol < 0) return 'a code table is damaged';
    if (symbol < 16) {
      lengths[i++] = symbol;
      continue;
    }
    const repeat =
      symbol === 16
        ? 3 + takeBits(state, input, 2)
        : symbol === 17
          ? 3 + takeBits(state, input, 3)
          : 11 + takeBits(state, input, 7);
    if (i + repeat > lengths.length || (symbol === 16 && i === 0)) return 'a code table is damaged';
    lengths.fill(symbol === 16 ? lengths[i - 1]! : 0, i, i + repeat);
    i += repeat;
  }
  const literals = prefixCode(lengths.subarray(0, literalCount));
  const distances = prefixCode(lengths.subarray(literalCount));
  if (!literals || !distances) return 'a code table is damaged';
  state.literals = literals;
  state.distances = distances;
  return '';
};

const takeSymbol = (state: InflateState, input: Uint8Array, code: PrefixCode): number => {
  for (; state.bitCount < 15; state.bitCount += 8) state.bits |= byteAt(input, state.from++) << state.bitCount;
  const entry = code.fast[state.bits & ((1 << FAST_BITS) - 1)] || decodeLong(code, state.bits);
  if (entry < 0) return -1;
  state.bits >>>= entry & 15;
  state.bitCount -= entry & 15;
  return entry >> 4;
};

export const FIXED_LITERALS = prefixCode(
  Uint8Array.from({ length: 288 }, (_, i) => (i < 144 ? 8 : i < 256 ? 9 : i < 280 ? 7 : 8)),
)!;
export const FIXED_DISTANCES = prefixCode(new Uint8Array(32).fill(5))!;
