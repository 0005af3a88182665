import { DISTANCE_EXTRA, DISTANCES, extraBits, LENGTH_SYMBOL, LONGEST, SHORTEST, symbolOf } from './symbols.ts';

/** Bits that a symbol takes that no block has had yet. */
const UNSEEN = 12;

/** Bits that symbols take, with their extra bits: bytes by value, lengths by length, distances by symbol. */
export interface Prices {
  readonly bytes: Uint8Array;
  readonly lengths: Uint8Array;
  readonly distances: Uint8Array;
}

/** Prices where nothing is known but the codes of bytes: about what lengths and distances usually take. */
export const firstPrices = (bytes: Uint8Array): Prices =>
  pricesOf(
    bytes,
    (length) => (length < 10 ? 4 : 6),
    () => 4,
  );

/** Prices by the codes of a block. */
export const pricesBy = (literals: Uint8Array, distances: Uint8Array): Prices =>
  pricesOf(
    literals.map((bits) => bits || UNSEEN),
    (length) => literals[symbolOf(LENGTH_SYMBOL[length]!)] || UNSEEN,
    (symbol) => distances[symbol] || UNSEEN,
  );

const pricesOf = (
  bytes: Uint8Array,
  lengthBits: (length: number) => number,
  distanceBits: (symbol: number) => number,
): Prices => {
  const lengths = new Uint8Array(LONGEST + 1);
  for (let n = SHORTEST; n <= LONGEST; n++) lengths[n] = lengthBits(n) + extraBits(LENGTH_SYMBOL[n]!);
  const distances = new Uint8Array(DISTANCES);
  for (let s = 0; s < DISTANCES; s++) distances[s] = distanceBits(s) + DISTANCE_EXTRA[s]!;
  return { bytes, lengths, distances };
};
