import { BitWriter } from './bits.ts';
import { type BlockWork, type Codes, deflateWith, roomFor } from './block.ts';
import { type Alike, plainFinder, SHORT } from './matches.ts';
import { DISTANCES, distanceSymbol, END, extraBits, extraValue, LENGTH_SYMBOL, SYMBOLS, symbolOf } from './symbols.ts';
import type { PrefixCode } from './tables.ts';

/**
 * Bytes as deflate blocks with codes of their own (RFC 1951), then an empty stored block, which ends on a whole byte:
 * what is made apart can be put one behind the other.
 * @param bytes at least one, at most 2²²
 * @param alike see `Alike`
 */
export const deflateBlocks = (bytes: Uint8Array, alike: Alike = SHORT): Uint8Array =>
  deflateWith(plainWork(bytes, alike));

const plainWork = (bytes: Uint8Array, alike: Alike): BlockWork => {
  const matches = new Int32Array(bytes.length + 3);
  const out = new Uint8Array(roomFor(bytes.length));
  const bits = new BitWriter(out);
  return {
    length: bytes.length,
    frequencies(from, to) {
      const counts = new Uint32Array(256);
      for (let i = from; i < to; i++) counts[bytes[i]!]!++;
      return counts;
    },
    finder: plainFinder(bytes, alike, matches),
    count: (from, to, found) => count(bytes.subarray(0, to), from, matches.subarray(0, 3 * found)),
    put(from, to, found, codes, begin) {
      begin(bits);
      putSymbols(bits, bytes.subarray(0, to), from, matches.subarray(0, 3 * found), codes);
    },
    end() {
      // An empty stored block: three bits, zeros to the next byte, a length of 0 and its complement.
      bits.put(0, 3);
      const at = bits.align();
      out.set([0, 0, 0xff, 0xff], at);
      return out.subarray(0, at + 4);
    },
  };
};

const count = (bytes: Uint8Array, from: number, matches: Int32Array) => {
  const literals = new Uint32Array(SYMBOLS);
  const distances = new Uint32Array(DISTANCES);
  literals[END] = 1;
  let at = from;
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

const putSymbols = (bits: BitWriter, bytes: Uint8Array, from: number, matches: Int32Array, codes: Codes): void => {
  const { lengths, codes: words } = codes.literals;
  let at = from;
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
