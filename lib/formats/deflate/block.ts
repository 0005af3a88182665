import type { BitWriter } from './bits.ts';
import { codeLengths } from './huffman.ts';
import type { Finder } from './matches.ts';
import { firstPrices, pricesBy } from './prices.ts';
import { DISTANCE_EXTRA, FARTHEST, LENGTH_EXTRA } from './symbols.ts';
import { type PrefixCode, prefixCode, putTables } from './tables.ts';

// A compressor for filtered rows of pictures. Integer arithmetic throughout, or whole numbers far below 2⁵³: the same bytes
// on every platform and in every version of it, which the platforms' own deflate streams do not promise.

/** At most so many bytes have codes of their own: skies change, and so do their codes. */
export const MOST_OF_A_CODE = 1 << 17;
/** So often matches are taken anew, by the codes that those before gave. */
const PASSES = 2;
/** So many bytes tell whether some repeat themselves, … */
const TRIAL = 4096;
/** … which they do where matches save at least a part in so many. */
const WORTH = 100;

/** Room that so many bytes need at most: 15 bits each, the tables, and the empty block behind them. */
export const roomFor = (count: number): number => 2 * count + 512 * (1 + Math.ceil(count / MOST_OF_A_CODE));

/** Codes of a block, for bytes and lengths and for distances. */
export interface Codes {
  readonly literals: PrefixCode;
  readonly distances: PrefixCode;
}

/** What bytes are compressed with: loops over them, in plain code or in the kernel. */
export interface BlockWork {
  /** How many bytes there are. */
  readonly length: number;
  /** How often each byte occurs in [from, to). */
  frequencies(from: number, to: number): Uint32Array;
  readonly finder: Finder;
  /** How often each symbol occurs in [from, to) where so many matches are taken. */
  count(from: number, to: number, matches: number): { readonly literals: Uint32Array; readonly distances: Uint32Array };
  /** Puts the symbols of [from, to), and the end of a block, behind what `begin` puts. */
  put(from: number, to: number, matches: number, codes: Codes, begin: (bits: BitWriter) => void): void;
  /** Puts an empty stored block and gives all that was put. */
  end(): Uint8Array;
}

/** Compresses bytes by their loops: see `deflateBlocks` in plain.ts. */
export const deflateWith = (work: BlockWork): Uint8Array => {
  const count = Math.ceil(work.length / MOST_OF_A_CODE);
  const cut = (k: number) => Math.floor((k * work.length) / count);
  for (let k = 0; k < count; k++) putBlock(work, cut(k), cut(k + 1));
  return work.end();
};

const putBlock = (work: BlockWork, from: number, to: number): void => {
  const repeats = repeatsItself(work, from, to);
  if (repeats) work.finder.look(from, to);
  let matches = repeats
    ? work.finder.take(firstPrices(codeLengths(work.frequencies(from, to), 15)))
    : work.finder.runs(from, to);
  let codes = codesFor(work, from, to, matches);
  // Again, now that the codes are nearly known.
  for (let pass = 0; repeats && pass < PASSES; pass++) {
    matches = work.finder.take(pricesBy(codes.literals.lengths, codes.distances.lengths));
    codes = codesFor(work, from, to, matches);
  }
  work.put(from, to, matches, codes, (out) => {
    // Not the last block; codes of its own.
    out.put(0, 1);
    out.put(2, 2);
    putTables(out, codes.literals, codes.distances);
  });
};

/**
 * Whether matches are worth while. Noise repeats nothing but runs of one byte for long, and codes for matches make those of
 * single bytes longer. What the matches save is tried on a part, each way with the codes that suit it.
 */
const repeatsItself = (work: BlockWork, from: number, to: number): boolean => {
  const begin = from + Math.min(FARTHEST, (to - from) >> 1);
  const end = Math.min(to, begin + TRIAL);
  const alone = work.frequencies(begin, end);
  const lengths = codeLengths(alone, 15);
  work.finder.look(begin, end);
  const matched = work.count(begin, end, work.finder.take(firstPrices(lengths)));
  const bits = sumOf(alone, lengths);
  return (bits - bitsOf(matched.literals, matched.distances)) * WORTH > bits;
};

const sumOf = (counts: Uint32Array, bits: Uint8Array): number => counts.reduce((sum, n, s) => sum + n * bits[s]!, 0);

/** Bits that symbols take in codes of their own. */
const bitsOf = (literals: Uint32Array, distances: Uint32Array): number =>
  sumOf(literals, codeLengths(literals, 15)) +
  sumOf(literals, LENGTH_EXTRA) +
  sumOf(distances, codeLengths(distances, 15)) +
  sumOf(distances, DISTANCE_EXTRA);

const codesFor = (work: BlockWork, from: number, to: number, matches: number): Codes => {
  const { literals, distances } = work.count(from, to, matches);
  return { literals: prefixCode(literals, 15), distances: prefixCode(distances, 15) };
};
