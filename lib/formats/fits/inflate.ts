import { byteAt, FIXED_DISTANCES, FIXED_LITERALS, type InflateState, readCodes, takeBits } from './deflate-codes.ts';
import { decodeLong } from './huffman.ts';

// DEFLATE (RFC 1951) as a machine that stops where output or input runs out and goes on from there. The platform's own
// stream has no way to stop at a size, to go back, or to run without a promise for each tile.

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
 * Decodes codes of a block until it ends or `inputEnd` or `out` is reached: keeps the state in locals and writes it back
 * when it leaves. @returns '', or what is wrong with the data
 */
export type DecodeCodes = (
  state: InflateState,
  input: Uint8Array,
  inputEnd: number,
  final: boolean,
  out: Uint8Array,
) => string;

/**
 * Inflates from `input` (from `state.from` to its end) into `out` (from `state.at` to its end).
 * Stops when done, when less than OUTPUT_MARGIN bytes of output are free, or, unless `final`, when less than
 * INPUT_MARGIN bytes of input are left. Matches reach back to the start of `out`.
 * @param decode what decodes codes; the plain loop where absent
 * @returns 'ok', or what is wrong with the data.
 */
export const inflate = (
  state: InflateState,
  input: Uint8Array,
  final: boolean,
  out: Uint8Array,
  decode: DecodeCodes = decodeCodes,
): string => {
  const inputEnd = final ? input.length : input.length - INPUT_MARGIN;
  while (state.mode !== 'done') {
    if (state.from >= inputEnd && (!final || overrun(state, input))) return final ? 'it ends early' : 'ok';
    if (out.length - state.at < OUTPUT_MARGIN && state.mode !== 'header') return 'ok';
    const fault =
      state.mode === 'header'
        ? readBlockHeader(state, input)
        : state.mode === 'stored'
          ? copyStored(state, input, out)
          : decode(state, input, inputEnd, final, out);
    if (fault) return overrun(state, input) ? 'it ends early' : fault;
  }
  return overrun(state, input) ? 'it ends early' : 'ok';
};

/** Whether more bits were used than the input holds. */
const overrun = (state: InflateState, input: Uint8Array): boolean => state.from - (state.bitCount >> 3) > input.length;

export const endBlock = (state: InflateState): void => {
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

/** How many extra bits follow length symbol 257 + i and distance symbol i, and where their ranges begin (section 3.2.5). */
const LENGTH_EXTRA = Uint8Array.from({ length: 31 }, (_, i) => (i < 8 || i >= 28 ? 0 : (i >> 2) - 1));
const DISTANCE_EXTRA = Uint8Array.from({ length: 32 }, (_, i) => (i < 4 || i >= 30 ? 0 : (i >> 1) - 1));
const startsOf = (extra: Uint8Array, first: number, used: number): Uint16Array =>
  Uint16Array.from(extra, (_, i) =>
    i < used ? extra.subarray(0, i).reduce((sum, bits) => sum + (1 << bits), first) : 0,
  );
const LENGTH_BASE = startsOf(LENGTH_EXTRA, 3, 29);
// The last length symbol has a value of its own.
LENGTH_BASE[28] = 258;
const DISTANCE_BASE = startsOf(DISTANCE_EXTRA, 1, 30);

export const decodeCodes: DecodeCodes = (state, input, inputEnd, final, out) => {
  const { literals, distances } = state;
  const limit = out.length - OUTPUT_MARGIN;
  // With all input at hand the end is noticed after the fact: padding counts as consumed.
  const stop = final ? input.length + 8 : inputEnd;
  let { bits, bitCount, from, at } = state;
  while (at <= limit && from < stop) {
    if (bitCount < 15) {
      bits |= (byteAt(input, from) | (byteAt(input, from + 1) << 8)) << bitCount;
      from += 2;
      bitCount += 16;
    }
    let entry = literals.fast[bits & 1023]!;
    if (entry === 0) entry = decodeLong(literals, bits);
    bits >>>= entry & 15;
    bitCount -= entry & 15;
    const symbol = entry >> 4;
    if (symbol < 256) {
      if (symbol < 0) return 'a code is damaged';
      out[at++] = symbol;
      continue;
    }
    if (symbol === 256) {
      endBlock(state);
      break;
    }
    for (; bitCount < 24; bitCount += 8) bits |= byteAt(input, from++) << bitCount;
    const lengthExtra = LENGTH_EXTRA[symbol - 257]!;
    const length = LENGTH_BASE[symbol - 257]! + (bits & ((1 << lengthExtra) - 1));
    bits >>>= lengthExtra;
    bitCount -= lengthExtra;
    entry = distances.fast[bits & 1023]!;
    if (entry === 0) entry = decodeLong(distances, bits);
    bits >>>= entry & 15;
    bitCount -= entry & 15;
    for (; bitCount < 16; bitCount += 8) bits |= byteAt(input, from++) << bitCount;
    const distanceExtra = DISTANCE_EXTRA[entry >> 4]!;
    const distance = DISTANCE_BASE[entry >> 4]! + (bits & ((1 << distanceExtra) - 1));
    bits >>>= distanceExtra;
    bitCount -= distanceExtra;
    if (entry < 0 || length < 3 || distance === 0 || distance > at) return 'a match is damaged';
    for (const end = at + length; at < end; at++) out[at] = out[at - distance]!;
  }
  Object.assign(state, { bits, bitCount, from, at });
  return '';
};
