import type { ByteStream, Pieces } from './stream.ts';

const CLEAR = 256;
const END = 257;
const FIRST_FREE = 258;
const TABLE = 4096;

/** Everything a decoder keeps between two calls. A string of the table is its prefix's string and one more byte. */
interface Lzw {
  piece: Uint8Array;
  at: number;
  /** Bits not yet used, right-aligned, and how many. */
  bits: number;
  bitCount: number;
  width: number;
  free: number;
  /** The code before, or -1 after Clear. */
  previous: number;
  ended: boolean;
  readonly prefix: Uint16Array;
  readonly last: Uint8Array;
  readonly first: Uint8Array;
  readonly length: Uint16Array;
  /** The part of a string that found no room in the caller's bytes. */
  readonly spill: Uint8Array;
  spillAt: number;
  spillEnd: number;
}

const start = (): Lzw => {
  const state: Lzw = {
    piece: new Uint8Array(0),
    at: 0,
    bits: 0,
    bitCount: 0,
    width: 9,
    free: FIRST_FREE,
    previous: -1,
    ended: false,
    prefix: new Uint16Array(TABLE),
    last: new Uint8Array(TABLE),
    first: new Uint8Array(TABLE),
    length: new Uint16Array(TABLE).fill(1, 0, 256),
    spill: new Uint8Array(TABLE),
    spillAt: 0,
    spillEnd: 0,
  };
  for (let i = 0; i < 256; i++) state.last[i] = state.first[i] = i;
  return state;
};

/** Writes a code's string so that it ends before `end`. */
const unwind = (s: Lzw, code: number, into: Uint8Array, end: number): void => {
  for (let i = end - 1, c = code, n = s.length[code]!; n > 0; n--) {
    into[i--] = s.last[c]!;
    c = s.prefix[c]!;
  }
};

/** Writes a code's string at `filled`, what has no room into the spill; returns the new fill. */
const emit = (s: Lzw, code: number, into: Uint8Array, filled: number): number => {
  const length = s.length[code]!;
  if (filled + length <= into.length) {
    unwind(s, code, into, filled + length);
    return filled + length;
  }
  unwind(s, code, s.spill, length);
  const room = into.length - filled;
  into.set(s.spill.subarray(0, room), filled);
  s.spillAt = room;
  s.spillEnd = length;
  return into.length;
};

/** Enters the string `previous` + first byte of `code`'s string; at most 4096 strings, whatever the writer does after. */
const enter = (s: Lzw, code: number): void => {
  if (s.free === TABLE) return;
  const { free, previous } = s;
  s.prefix[free] = previous;
  s.first[free] = s.first[previous]!;
  s.last[free] = s.first[code === free ? previous : code]!;
  s.length[free] = s.length[previous]! + 1;
  s.free = free + 1;
  // Codes grow one entry early: the tenth bit comes with entry 511, not 512 (TIFF 6.0 §13).
  if (s.free > (1 << s.width) - 2 && s.width < 12) s.width++;
};

/** The next code, or -1 where the piece at hand does not hold it whole. */
const nextCode = (s: Lzw): number => {
  while (s.bitCount < s.width) {
    if (s.at === s.piece.length) return -1;
    s.bits = ((s.bits << 8) | s.piece[s.at++]!) & 0xfffff;
    s.bitCount += 8;
  }
  s.bitCount -= s.width;
  return (s.bits >>> s.bitCount) & ((1 << s.width) - 1);
};

/** Decodes until `into` is full or the piece at hand is used up; returns the new fill, or -1 for a damaged stream. */
const run = (s: Lzw, into: Uint8Array, from: number): number => {
  let filled = from;
  while (filled < into.length && !s.ended) {
    const code = nextCode(s);
    if (code < 0) return filled;
    if (code === CLEAR) {
      s.width = 9;
      s.free = FIRST_FREE;
      s.previous = -1;
    } else if (code === END) s.ended = true;
    else {
      if (s.previous < 0) {
        if (code > 255) return -1;
      } else {
        if (code > s.free) return -1;
        enter(s, code);
      }
      filled = emit(s, code, into, filled);
      s.previous = code;
    }
  }
  return filled;
};

/** Writers before TIFF 6.0 packed codes from the low end: their first code, Clear, is the bytes 00 and then an odd one. */
const isOldStyle = (piece: Uint8Array): boolean => piece.length > 1 && piece[0] === 0 && (piece[1]! & 1) === 1;

/**
 * LZW as TIFF 6.0 §13 defines it. Missing Clear at the start and missing end code are accepted, as is a table filled to
 * its last entry before Clear; the old bit order is refused by name.
 */
export const lzwStream = (pieces: Pieces): ByteStream => {
  const state = start();
  let begun = false;
  return {
    async fill(into) {
      let filled = Math.min(into.length, state.spillEnd - state.spillAt);
      into.set(state.spill.subarray(state.spillAt, state.spillAt + filled));
      state.spillAt += filled;
      for (;;) {
        filled = run(state, into, filled);
        if (filled === into.length) return;
        if (filled < 0) throw pieces.fault('holds a damaged LZW stream');
        const piece = state.ended ? undefined : await pieces.next();
        if (piece === undefined) throw pieces.fault('ends early');
        if (!begun && isOldStyle(piece)) throw pieces.fault('is packed with the LZW of before 1992, which is not read');
        begun = true;
        state.piece = piece;
        state.at = 0;
      }
    },
    close() {},
  };
};
