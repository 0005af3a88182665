// The symbols of lengths and distances (RFC 1951 §3.2.5), each with its extra bits: symbol | bits << 9 | value << 13.

/** Literals 0…255, the end of a block, lengths. */
export const SYMBOLS = 286;
export const DISTANCES = 30;
export const END = 256;
export const SHORTEST = 3;
export const LONGEST = 258;
export const FARTHEST = 32768;

/** For each match length 3…258. */
export const LENGTH_SYMBOL = (() => {
  const table = new Uint32Array(259);
  let length = 3;
  for (let symbol = 257; length < 258; symbol++) {
    const bits = symbol < 265 ? 0 : (symbol - 261) >> 2;
    for (let value = 0; value < 1 << bits && length < 258; value++)
      table[length++] = symbol | (bits << 9) | (value << 13);
  }
  table[258] = 285;
  return table;
})();

/** For a distance 1…32768. */
export const distanceSymbol = (distance: number): number => {
  if (distance < 5) return distance - 1;
  const bits = 30 - Math.clz32(distance - 1);
  const symbol = 2 * bits + 2 + (((distance - 1) >> bits) & 1);
  return symbol | (bits << 9) | (((distance - 1) & ((1 << bits) - 1)) << 13);
};

export const symbolOf = (entry: number): number => entry & 511;
export const extraBits = (entry: number): number => (entry >>> 9) & 15;
export const extraValue = (entry: number): number => entry >>> 13;

/** Extra bits of every symbol for bytes and lengths, and for distances. */
export const LENGTH_EXTRA = Uint8Array.from({ length: SYMBOLS }, (_, s) =>
  s < 265 || s === SYMBOLS - 1 ? 0 : (s - 261) >> 2,
);
export const DISTANCE_EXTRA = Uint8Array.from({ length: DISTANCES }, (_, s) => Math.max(0, (s >> 1) - 1));
