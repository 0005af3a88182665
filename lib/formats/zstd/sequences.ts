import { backBits, takeBits } from './bits.ts';
import { damaged } from './damage.ts';
import { type FseTable, firstState, fseTable, nextState, readFseTable, singleTable } from './fse.ts';
import { type Literals, MOST_BLOCK } from './literals.ts';

/** Extra bits of each code, and the values that the codes begin at: each where the one before ends. */
const codesFrom = (first: number, bits: readonly number[]) => {
  const base = new Uint32Array(bits.length);
  for (let i = 0, value = first; i < bits.length; value += 2 ** bits[i++]!) base[i] = value;
  return { bits: Uint8Array.from(bits), base };
};
const zeros = (count: number) => new Array<number>(count).fill(0);
const ones = (count: number) => new Array<number>(count).fill(1);

/** Codes, default counts and limits of RFC 8878 §3.1.1.3.2. */
const LITERAL_CODES = codesFrom(0, [...zeros(16), 1, 1, 1, 1, 2, 2, 3, 3, 4, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16]);
const MATCH_CODES = codesFrom(3, [...zeros(32), 1, 1, 1, 1, 2, 2, 3, 3, 4, 4, 5, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16]);
const KINDS = [
  {
    log: 9,
    symbol: 35,
    usual: fseTable(
      [4, 3, ...ones(11).map(() => 2), 1, 1, 1, ...ones(9).map(() => 2), 3, 2, ...ones(5), -1, -1, -1, -1],
      6,
    ),
  },
  { log: 8, symbol: 31, usual: fseTable([...ones(6), 2, 2, 2, ...ones(15), -1, -1, -1, -1, -1], 5) },
  {
    log: 9,
    symbol: 52,
    usual: fseTable([1, 4, 3, 2, 2, 2, 2, 2, 2, ...ones(37), -1, -1, -1, -1, -1, -1, -1], 6),
  },
] as const;

/** What one block hands to the next of its frame: tables of literal lengths, offsets and match lengths, and three offsets. */
export interface Memory {
  readonly tables: (FseTable | undefined)[];
  readonly offsets: Float64Array;
}

/** What a frame begins with. */
export const freshMemory = (): Memory => ({
  tables: [undefined, undefined, undefined],
  offsets: Float64Array.of(1, 4, 8),
});

/** Decoded bytes up to `end`; those from `floor` on may be copied again. */
export interface History {
  bytes: Uint8Array;
  floor: number;
  end: number;
}

const readTables = (bytes: Uint8Array, at: number, end: number, memory: Memory): number => {
  const modes = bytes[at]!;
  if (at >= end || (modes & 3) !== 0) damaged('sequences of an unknown form');
  let from = at + 1;
  KINDS.forEach((kind, i) => {
    const mode = (modes >> (6 - 2 * i)) & 3;
    if (mode === 0) memory.tables[i] = kind.usual;
    else if (mode === 1) {
      if (from >= end || bytes[from]! > kind.symbol) damaged('a symbol that does not exist');
      memory.tables[i] = singleTable(bytes[from++]!);
    } else if (mode === 2) ({ table: memory.tables[i], end: from } = readFseTable(bytes, from, end, kind));
    else if (memory.tables[i] === undefined) damaged('a table used again before there is one');
  });
  return from;
};

/** The distance that a value stands for: three stand for distances used before (RFC 8878 §3.1.1.5). */
const distanceOf = (value: number, literals: number, offsets: Float64Array): number => {
  const which = value > 3 ? 3 : literals === 0 ? value : value - 1;
  if (which === 0) return offsets[0]!;
  const distance = value > 3 ? value - 3 : which === 3 ? offsets[0]! - 1 : offsets[which]!;
  if (which !== 1) offsets[2] = offsets[1]!;
  offsets[1] = offsets[0]!;
  offsets[0] = distance;
  return distance;
};

/** Copies bytes from before; where they overlap, what is copied repeats. */
const copyMatch = (history: History, distance: number, length: number): void => {
  const { bytes, end, floor } = history;
  if (!(distance >= 1 && distance <= end - floor)) damaged('a reference to before its beginning');
  if (distance >= length) bytes.copyWithin(end, end - distance, end - distance + length);
  else if (distance === 1) bytes.fill(bytes[end - 1]!, end, end + length);
  else for (let i = end; i < end + length; i++) bytes[i] = bytes[i - distance]!;
  history.end = end + length;
};

const copyLiterals = (literals: Literals, from: number, to: number, history: History): void => {
  const { bytes, end } = history;
  if (to - from < 32) for (let i = from, o = end; i < to; ) bytes[o++] = literals.bytes[i++]!;
  else bytes.set(literals.bytes.subarray(from, to), end);
  history.end = end + to - from;
};

/** Where the number of sequences ends, and the number. */
const readCount = (bytes: Uint8Array, at: number, end: number): { count: number; from: number } => {
  const head = bytes[at]!;
  const length = head < 128 ? 1 : head < 255 ? 2 : 3;
  if (at + length > end) damaged('a block without sequences');
  if (length === 1) return { count: head, from: at + 1 };
  if (length === 2) return { count: ((head - 128) << 8) + bytes[at + 1]!, from: at + 2 };
  return { count: bytes[at + 1]! + (bytes[at + 2]! << 8) + 0x7f00, from: at + 3 };
};

/** Carries out the sequences in bytes [at, end): literals, then a copy of bytes before, again and again. */
export const runSequences = (
  bytes: Uint8Array,
  at: number,
  end: number,
  memory: Memory,
  literals: Literals,
  history: History,
): void => {
  const { count, from } = readCount(bytes, at, end);
  const limit = history.end + MOST_BLOCK;
  let used = 0;
  if (count === 0 && from !== end) damaged('bytes behind a block');
  if (count > 0) {
    const bits = backBits(bytes, readTables(bytes, from, end, memory), end);
    const [lengths, offsets, matches] = memory.tables as [FseTable, FseTable, FseTable];
    let l = firstState(lengths, bits);
    let o = firstState(offsets, bits);
    let m = firstState(matches, bits);
    for (let left = count; ; ) {
      const power = offsets.symbol[o]!;
      const value = 2 ** power + takeBits(bits, power);
      const match = MATCH_CODES.base[matches.symbol[m]!]! + takeBits(bits, MATCH_CODES.bits[matches.symbol[m]!]!);
      const plain = LITERAL_CODES.base[lengths.symbol[l]!]! + takeBits(bits, LITERAL_CODES.bits[lengths.symbol[l]!]!);
      if (used + plain > literals.count || history.end + plain + match > limit) damaged('a block that grows too large');
      copyLiterals(literals, used, used + plain, history);
      used += plain;
      copyMatch(history, distanceOf(value, plain, memory.offsets), match);
      if (--left === 0 || bits.at < 0) break;
      l = nextState(lengths, l, bits);
      m = nextState(matches, m, bits);
      o = nextState(offsets, o, bits);
    }
    if (bits.at !== 0) damaged('sequences of another length');
  }
  if (history.end + literals.count - used > limit) damaged('a block that grows too large');
  copyLiterals(literals, used, literals.count, history);
};
