import { type BackBits, takeBits } from './bits.ts';
import { damaged } from './damage.ts';

/** A table of finite state entropy (RFC 8878 §4.1.1): what a state stands for, and how the next one follows. */
export interface FseTable {
  /** log2 of the number of states. */
  readonly log: number;
  readonly symbol: Uint8Array;
  readonly bits: Uint8Array;
  readonly base: Uint16Array;
}

/** The table of counts whose sum is 2^log; −1 stands for less than one. */
export const fseTable = (counts: readonly number[], log: number): FseTable => {
  const size = 1 << log;
  const symbol = new Uint8Array(size);
  let high = size - 1;
  counts.forEach((count, s) => {
    if (count === -1) symbol[high--] = s;
  });
  const step = (size >> 1) + (size >> 3) + 3;
  let place = 0;
  counts.forEach((count, s) => {
    for (let i = 0; i < count; i++) {
      symbol[place] = s;
      do place = (place + step) & (size - 1);
      while (place > high);
    }
  });
  const bits = new Uint8Array(size);
  const base = new Uint16Array(size);
  const next = counts.map(Math.abs);
  for (let state = 0; state < size; state++) {
    const value = next[symbol[state]!]!++;
    bits[state] = log - (31 - Math.clz32(value));
    base[state] = (value << bits[state]!) - size;
  }
  return { log, symbol, bits, base };
};

/** The table of a single symbol, which costs no bits. */
export const singleTable = (symbol: number): FseTable => ({
  log: 0,
  symbol: Uint8Array.of(symbol),
  bits: new Uint8Array(1),
  base: new Uint16Array(1),
});

/**
 * Reads a table's counts from bytes [at, end), upwards from the low bits; returns it and where it ends. Every turn of its
 * loops takes bits or a symbol, so they end with the bytes or with `most`.
 */
export const readFseTable = (
  bytes: Uint8Array,
  at: number,
  end: number,
  most: { readonly log: number; readonly symbol: number },
): { readonly table: FseTable; readonly end: number } => {
  let bit = 8 * at;
  const peek = (count: number): number => {
    const i = bit >> 3;
    return (((bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16)) >>> (bit & 7)) & ((1 << count) - 1)) >>> 0;
  };
  const log = peek(4) + 5;
  bit += 4;
  if (at >= end || log > most.log) damaged('a table of more states than allowed');
  const counts: number[] = [];
  let left = (1 << log) + 1;
  while (left > 1) {
    if (counts.length > most.symbol || bit > 8 * end) damaged('a table of more symbols than allowed');
    const width = 32 - Math.clz32(left);
    const half = 1 << (width - 1);
    const short = 2 * half - 1 - left;
    const low = peek(width - 1);
    let value = low;
    if (low < short) bit += width - 1;
    else {
      value = peek(width);
      if (value >= half) value -= short;
      bit += width;
    }
    counts.push(value - 1);
    left -= Math.abs(value - 1);
    if (value !== 1) continue;
    for (let zeros = 3; zeros === 3 && counts.length <= most.symbol; ) {
      zeros = peek(2);
      bit += 2;
      for (let i = 0; i < zeros; i++) counts.push(0);
    }
  }
  const stop = (bit + 7) >> 3;
  if (left !== 1 || stop > end || counts.length > most.symbol + 1) damaged('a table that does not add up');
  return { table: fseTable(counts, log), end: stop };
};

/** The first state. */
export const firstState = (table: FseTable, bits: BackBits): number => takeBits(bits, table.log);

/** The state after `state`. */
export const nextState = (table: FseTable, state: number, bits: BackBits): number =>
  table.base[state]! + takeBits(bits, table.bits[state]!);
