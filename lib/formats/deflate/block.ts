import { BitWriter } from './bits.ts';
import { findMatches } from './matches.ts';
import { DISTANCES, distanceSymbol, END, extraBits, extraValue, LENGTH_SYMBOL, SYMBOLS, symbolOf } from './symbols.ts';
import { type PrefixCode, prefixCode, putTables } from './tables.ts';

// A compressor for filtered rows of pictures. Integer arithmetic throughout, or whole numbers far below 2⁵³: the same bytes
// on every platform and in every version of it, which the platforms' own deflate streams do not promise.

/** Room that a block of so many bytes needs at most: 15 bits a byte, its tables, and the empty block behind it. */
const roomFor = (count: number): number => 2 * count + 512;

/**
 * Bytes as one deflate block with codes of its own (RFC 1951), then an empty stored block, which ends on a whole byte:
 * blocks made apart can be put one behind the other.
 * @param bytes at least one, at most 2²⁰
 */
export const deflateBlock = (bytes: Uint8Array): Uint8Array => {
  const matches = findMatches(bytes, bitsOf(bytes));
  const literals = new Uint32Array(SYMBOLS);
  const distances = new Uint32Array(DISTANCES);
  count(bytes, matches, literals, distances);
  const out = new Uint8Array(roomFor(bytes.length));
  const bits = new BitWriter(out);
  // Not the last block; codes of its own.
  bits.put(0, 1);
  bits.put(2, 2);
  const codes = { literals: prefixCode(literals, 15), distances: prefixCode(distances, 15) };
  putTables(bits, codes.literals, codes.distances);
  putSymbols(bits, bytes, matches, codes);
  // An empty stored block: three bits, zeros to the next byte, a length of 0 and its complement.
  bits.put(0, 3);
  const at = bits.align();
  out.set([0, 0, 0xff, 0xff], at);
  return out.subarray(0, at + 4);
};

/** What the bytes take one by one in the best code for them. */
const bitsOf = (bytes: Uint8Array): number => {
  const frequencies = new Uint32Array(256);
  for (let i = 0; i < bytes.length; i++) frequencies[bytes[i]!]!++;
  const { lengths } = prefixCode(frequencies, 15);
  return lengths.reduce((sum, length, s) => sum + length * frequencies[s]!, 0);
};

const count = (bytes: Uint8Array, matches: readonly number[], literals: Uint32Array, distances: Uint32Array): void => {
  literals[END] = 1;
  let at = 0;
  for (let m = 0; m <= matches.length; m += 3) {
    const until = matches[m] ?? bytes.length;
    while (at < until) literals[bytes[at++]!]!++;
    if (m === matches.length) return;
    literals[symbolOf(LENGTH_SYMBOL[matches[m + 1]!]!)]!++;
    distances[symbolOf(distanceSymbol(matches[m + 2]!))]!++;
    at += matches[m + 1]!;
  }
};

interface Codes {
  readonly literals: PrefixCode;
  readonly distances: PrefixCode;
}

const putSymbols = (bits: BitWriter, bytes: Uint8Array, matches: readonly number[], codes: Codes): void => {
  const { lengths, codes: words } = codes.literals;
  let at = 0;
  for (let m = 0; m <= matches.length; m += 3) {
    const until = matches[m] ?? bytes.length;
    for (; at < until; at++) bits.put(words[bytes[at]!]!, lengths[bytes[at]!]!);
    if (m === matches.length) break;
    putEntry(bits, codes.literals, LENGTH_SYMBOL[matches[m + 1]!]!);
    putEntry(bits, codes.distances, distanceSymbol(matches[m + 2]!));
    at += matches[m + 1]!;
  }
  bits.put(words[END]!, lengths[END]!);
};

const putEntry = (bits: BitWriter, { lengths, codes }: PrefixCode, entry: number): void => {
  const symbol = symbolOf(entry);
  bits.put(codes[symbol]!, lengths[symbol]!);
  bits.put(extraValue(entry), extraBits(entry));
};
