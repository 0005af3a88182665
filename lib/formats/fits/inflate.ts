import { decodeLong, FAST_BITS, type PrefixCode, prefixCode } from './huffman.ts';

/**
 * DEFLATE (RFC 1951) as a machine that stops where output or input runs out and goes on from there.
 * The platform's own stream has no way to stop at a size, to go back, or to run without a promise for each tile.
 */
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

export const startInflate = (): InflateState => ({
  mode: 'header',
  bits: 0,
  bitCount: 0,
  last: false,
  storedLeft: 0,
  literals: FIXED_LITERALS,
  distances: FIXED_DISTANCES,
  from: 0,
  at: 0,
});

/** A block header takes at most 14 + 19·3 + 320·14 bits; while that much input is left none can run short inside. */
export const INPUT_MARGIN = 640;
/** The longest match. */
export const OUTPUT_MARGIN = 258;

/**
 * Inflates from `input` (from `state.from` to its end) into `out` (from `state.at` to its end).
 * Stops when done, when less than OUTPUT_MARGIN bytes of output are free, or, unless `final`, when less than
 * INPUT_MARGIN bytes of input are left. Matches reach back to the start of `out`.
 * @returns 'ok', or what is wrong with the data.
 */
export const inflate = (state: InflateState, input: Uint8Array, final: boolean, out: Uint8Array): string => {
  const inputEnd = final ? input.length : input.length - INPUT_MARGIN;
  while (state.mode !== 'done') {
    if (state.from >= inputEnd && (!final || overrun(state, input))) return final ? 'it ends early' : 'ok';
    if (out.length - state.at < OUTPUT_MARGIN && state.mode !== 'header') return 'ok';
    const fault =
      state.mode === 'header'
        ? readBlockHeader(state, input)
        : state.mode === 'stored'
          ? copyStored(state, input, out)
          : decodeCodes(state, input, inputEnd, final, out);
    if (fault) return fault;
  }
  return overrun(state, input) ? 'it ends early' : 'ok';
};

/** Whether more bits were used than the input holds. */
const overrun = (state: InflateState, input: Uint8Array): boolean => state.from - (state.bitCount >> 3) > input.length;

/** Input, padded with zeros without end; `overrun` notices. */
const byteAt = (input: Uint8Array, from: number): number => (from < input.length ? input[from]! : 0);

const takeBits = (state: InflateState, input: Uint8Array, count: number): number => {
  for (; state.bitCount < count; state.bitCount += 8) state.bits |= byteAt(input, state.from++) << state.bitCount;
  const value = state.bits & ((1 << count) - 1);
  state.bits >>>= count;
  state.bitCount -= count;
  return value;
};

const endBlock = (state: InflateState): void => {
  state.mode = state.last ? 'done' : 'header';
};

const readBlockHeader = (state: InflateState, input: Uint8Array): string => {
  state.last = takeBits(state, input, 1) === 1;
  const type = takeBits(state, input, 2);
  if (type === 0) {
    takeBits(state, input, state.bitCount & 7);
    state.storedLeft = takeBits(state, input, 16);
    if ((takeBits(state, input, 16) ^ 0xffff) !== state.storedLeft) return 'a stored block is damaged';
    state.mode = 'stored';
  } else if (type === 1) {
    state.literals = FIXED_LITERALS;
    state.distances = FIXED_DISTANCES;
    state.mode = 'codes';
  } else if (type === 2) {
    state.mode = 'codes';
    return readCodes(state, input);
  } else return 'a block is of an unknown type';
  return '';
};

/** Order in which the lengths of the code-length code are stored (RFC 1951, section 3.2.7). */
const LENGTH_ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

const readCodes = (state: InflateState, input: Uint8Array): string => {
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

const copyStored = (state: InflateState, input: Uint8Array, out: Uint8Array): string => {
  // No whole byte waits among the bits: a stored block's header takes more bits than are ever held.
  const count = Math.min(state.storedLeft, input.length - state.from, out.length - state.at);
  if (count < 0 || (count === 0 && state.storedLeft > 0)) return 'it ends early';
  out.set(input.subarray(state.from, state.from + count), state.at);
  state.from += count;
  state.at += count;
  state.storedLeft -= count;
  if (state.storedLeft === 0) endBlock(state);
  return '';
};

const LENGTH_BASE = Uint16Array.of(
  3,
  4,
  5,
  6,
  7,
  8,
  9,
  10,
  11,
  13,
  15,
  17,
  19,
  23,
  27,
  31,
  35,
  43,
  51,
  59,
  67,
  83,
  99,
  115,
  131,
  163,
  195,
  227,
  258,
  0,
  0,
);
const LENGTH_EXTRA = Uint8Array.of(
  0,
  0,
  0,
  0,
  0,
  0,
  0,
  0,
  1,
  1,
  1,
  1,
  2,
  2,
  2,
  2,
  3,
  3,
  3,
  3,
  4,
  4,
  4,
  4,
  5,
  5,
  5,
  5,
  0,
  0,
  0,
);
const DISTANCE_BASE = Uint16Array.of(
  1,
  2,
  3,
  4,
  5,
  7,
  9,
  13,
  17,
  25,
  33,
  49,
  65,
  97,
  129,
  193,
  257,
  385,
  513,
  769,
  1025,
  1537,
  2049,
  3073,
  4097,
  6145,
  8193,
  12289,
  16385,
  24577,
  0,
  0,
);
const DISTANCE_EXTRA = Uint8Array.of(
  0,
  0,
  0,
  0,
  1,
  1,
  2,
  2,
  3,
  3,
  4,
  4,
  5,
  5,
  6,
  6,
  7,
  7,
  8,
  8,
  9,
  9,
  10,
  10,
  11,
  11,
  12,
  12,
  13,
  13,
  0,
  0,
);

/** The inner loop: keeps the state in locals and writes it back when it leaves. */
const decodeCodes = (
  state: InflateState,
  input: Uint8Array,
  inputEnd: number,
  final: boolean,
  out: Uint8Array,
): string => {
  const { literals, distances } = state;
  const limit = out.length - OUTPUT_MARGIN;
  // With all input at hand the end is noticed after the fact: padding counts as consumed.
  const stop = final ? input.length + 8 : inputEnd;
  let { bits, bitCount, from, at } = state;
  let fault = '';
  while (at <= limit && from < stop) {
    for (; bitCount < 24; bitCount += 8) bits |= byteAt(input, from++) << bitCount;
    let entry = literals.fast[bits & 1023]!;
    if (entry === 0) entry = decodeLong(literals, bits);
    bits >>>= entry & 15;
    bitCount -= entry & 15;
    const symbol = entry >> 4;
    if (symbol < 256) {
      if (symbol < 0) {
        fault = 'a code is damaged';
        break;
      }
      out[at++] = symbol;
      continue;
    }
    if (symbol === 256) {
      endBlock(state);
      break;
    }
    const lengthExtra = LENGTH_EXTRA[symbol - 257]!;
    const length = LENGTH_BASE[symbol - 257]! + (bits & ((1 << lengthExtra) - 1));
    bits >>>= lengthExtra;
    bitCount -= lengthExtra;
    for (; bitCount < 24; bitCount += 8) bits |= byteAt(input, from++) << bitCount;
    entry = distances.fast[bits & 1023]!;
    if (entry === 0) entry = decodeLong(distances, bits);
    bits >>>= entry & 15;
    bitCount -= entry & 15;
    for (; bitCount < 16; bitCount += 8) bits |= byteAt(input, from++) << bitCount;
    const distanceExtra = DISTANCE_EXTRA[entry >> 4]!;
    const distance = DISTANCE_BASE[entry >> 4]! + (bits & ((1 << distanceExtra) - 1));
    bits >>>= distanceExtra;
    bitCount -= distanceExtra;
    if (entry < 0 || length < 3 || distance === 0 || distance > at) {
      fault = 'a match is damaged';
      break;
    }
    for (const end = at + length; at < end; at++) out[at] = out[at - distance]!;
  }
  state.bits = bits;
  state.bitCount = bitCount;
  state.from = from;
  state.at = at;
  return fault;
};

const FIXED_LITERALS = prefixCode(
  Uint8Array.from({ length: 288 }, (_, i) => (i < 144 ? 8 : i < 256 ? 9 : i < 280 ? 7 : 8)),
)!;
const FIXED_DISTANCES = prefixCode(new Uint8Array(32).fill(5))!;
