import type { BitWriter } from './bits.ts';
import { codeLengths, codesOf } from './huffman.ts';

/** The order in which the lengths of the code for code lengths are stored (RFC 1951 §3.2.7). */
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
/** Symbols for repeats of a length: the least count, and the bits for more. 16 repeats the length before, the others 0. */
const REPEATS = { 16: [3, 2], 17: [3, 3], 18: [11, 7] } as const;

/** A prefix code: how many bits each symbol takes, and which. */
export interface PrefixCode {
  readonly lengths: Uint8Array;
  readonly codes: Uint16Array;
}

export const prefixCode = (frequencies: Uint32Array, limit: number): PrefixCode => {
  const lengths = codeLengths(frequencies, limit);
  return { lengths, codes: codesOf(lengths) };
};

/** Writes both codes of a block as lengths that are themselves coded (§3.2.7). */
export const putTables = (bits: BitWriter, literals: PrefixCode, distances: PrefixCode): void => {
  const first = used(literals.lengths, 257);
  const second = used(distances.lengths, 1);
  const sequence = repeatsOf([...literals.lengths.subarray(0, first), ...distances.lengths.subarray(0, second)]);
  const frequencies = new Uint32Array(ORDER.length);
  for (const [symbol] of sequence) frequencies[symbol]!++;
  const { lengths, codes } = prefixCode(frequencies, 7);
  let stored = ORDER.length;
  while (stored > 4 && lengths[ORDER[stored - 1]!] === 0) stored--;
  bits.put(first - 257, 5);
  bits.put(second - 1, 5);
  bits.put(stored - 4, 4);
  for (const symbol of ORDER.slice(0, stored)) bits.put(lengths[symbol]!, 3);
  for (const [symbol, more] of sequence) {
    bits.put(codes[symbol]!, lengths[symbol]!);
    if (symbol >= 16) bits.put(more, REPEATS[symbol as keyof typeof REPEATS][1]);
  }
};

/** How many lengths are stored: all up to the last that is not 0, but never fewer than `least`. */
const used = (lengths: Uint8Array, least: number): number => {
  let count = lengths.length;
  while (count > least && lengths[count - 1] === 0) count--;
  return count;
};

/** A list of lengths as symbols, each with the value of its extra bits. */
const repeatsOf = (lengths: readonly number[]): [symbol: number, more: number][] => {
  const sequence: [number, number][] = [];
  for (let i = 0; i < lengths.length; ) {
    const value = lengths[i]!;
    let run = 1;
    while (lengths[i + run] === value) run++;
    i += run;
    if (value !== 0) {
      sequence.push([value, 0]);
      run--;
    }
    while (run >= 3) {
      const symbol = value !== 0 ? 16 : run < 11 ? 17 : 18;
      const [least, bits] = REPEATS[symbol];
      const taken = Math.min(run, least + 2 ** bits - 1);
      sequence.push([symbol, taken - least]);
      run -= taken;
    }
    for (; run > 0; run--) sequence.push([value, 0]);
  }
  return sequence;
};
