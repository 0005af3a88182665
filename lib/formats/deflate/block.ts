import { BitWriter } from './bits.ts';
import { codeLengths } from './huffman.ts';
import { type Finder, findMatches, firstPrices, type Prices, plainFinder, pricesBy } from './matches.ts';
import { DISTANCES, distanceSymbol, END, extraBits, extraValue, LENGTH_SYMBOL, SYMBOLS, symbolOf } from './symbols.ts';
import { type PrefixCode, prefixCode, putTables } from './tables.ts';

// A compressor for filtered rows of pictures. Integer arithmetic throughout, or whole numbers far below 2⁵³: the same bytes
// on every platform and in every version of it, which the platforms' own deflate streams do not promise.

/** Room that a block of so many bytes needs at most: 15 bits a byte, its tables, and the empty block behind it. */
export const roomFor = (count: number): number => 2 * count + 512;

/** So often matches are looked for again. */
const PASSES = 2;

/** Codes of a block, for bytes and lengths and for distances. */
export interface Codes {
  readonly literals: PrefixCode;
  readonly distances: PrefixCode;
}

/** What a block is compressed with: loops over its bytes, in plain code or in the kernel. */
export interface BlockWork {
  /** Bytes of the block. */
  readonly length: number;
  /** How often each byte occurs. */
  frequencies(): Uint32Array;
  /** What finds matches that are worth their price. */
  finder(prices: Prices): Finder;
  /** How often each symbol occurs where so many matches are taken. */
  count(matches: number): { readonly literals: Uint32Array; readonly distances: Uint32Array };
  /** Puts the block behind what `begin` puts: its symbols, the end, and an empty stored block. */
  put(matches: number, codes: Codes, begin: (bits: BitWriter) => void): Uint8Array;
}

/** Compresses a block by its loops: see `deflateBlock`. */
export const deflateWith = (work: BlockWork): Uint8Array => {
  const frequencies = work.frequencies();
  const lengths = codeLengths(frequencies, 15);
  let bits = 0;
  for (let s = 0; s < lengths.length; s++) bits += frequencies[s]! * lengths[s]!;
  let { matches, repeats } = findMatches(work.finder(firstPrices(lengths)), work.length, bits);
  let codes = codesFor(work, matches);
  // Again, now that the codes are nearly known.
  for (let pass = 0; repeats && pass < PASSES; pass++) {
    matches = work.finder(pricesBy(codes.literals.lengths, codes.distances.lengths)).all(0, work.length);
    codes = codesFor(work, matches);
  }
  return work.put(matches, codes, (out) => {
    // Not the last block; codes of its own.
    out.put(0, 1);
    out.put(2, 2);
    putTables(out, codes.literals, codes.distances);
  });
};

const codesFor = (work: BlockWork, matches: number): Codes => {
  const { literals, distances } = work.count(matches);
  return { literals: prefixCode(literals, 15), distances: prefixCode(distances, 15) };
};

/**
 * Bytes as one deflate block with codes of its own (RFC 1951), then an empty stored block, which ends on a whole byte:
 * blocks made apart can be put one behind the other.
 * @param bytes at least one, at most 2²⁰
 */
export const deflateBlock = (bytes: Uint8Array): Uint8Array => deflateWith(plainWork(bytes));

const plainWork = (bytes: Uint8Array): BlockWork => {
  const matches = new Int32Array(bytes.length + 3);
  return {
    length: bytes.length,
    frequencies() {
      const counts = new Uint32Array(256);
      for (let i = 0; i < bytes.length; i++) counts[bytes[i]!]!++;
      return counts;
    },
    finder: (prices) => plainFinder(bytes, prices, matches),
    count: (found) => count(bytes, matches.subarray(0, 3 * found)),
    put(found, codes, begin) {
      const out = new Uint8Array(roomFor(bytes.length));
      const bits = new BitWriter(out);
      begin(bits);
      putSymbols(bits, bytes, matches.subarray(0, 3 * found), codes);
      // An empty stored block: three bits, zeros to the next byte, a length of 0 and its complement.
      bits.put(0, 3);
      const at = bits.align();
      out.set([0, 0, 0xff, 0xff], at);
      return out.subarray(0, at + 4);
    },
  };
};

const count = (bytes: Uint8Array, matches: Int32Array) => {
  const literals = new Uint32Array(SYMBOLS);
  const distances = new Uint32Array(DISTANCES);
  literals[END] = 1;
  let at = 0;
  for (let m = 0; m <= matches.length; m += 3) {
    const until = matches[m] ?? bytes.length;
    while (at < until) literals[bytes[at++]!]!++;
    if (m === matches.length) break;
    literals[symbolOf(LENGTH_SYMBOL[matches[m + 1]!]!)]!++;
    distances[symbolOf(distanceSymbol(matches[m + 2]!))]!++;
    at += matches[m + 1]!;
  }
  return { literals, distances };
};

const putSymbols = (bits: BitWriter, bytes: Uint8Array, matches: Int32Array, codes: Codes): void => {
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
