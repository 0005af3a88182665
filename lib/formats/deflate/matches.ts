import { DISTANCES, distanceSymbol, extraBits, LENGTH_SYMBOL, symbolOf } from './symbols.ts';

// Where bytes repeat bytes before them. Triples in one list: where a match begins, how long it is, how far back it looks.

export const LONGEST = 258;
export const FARTHEST = 32768;
/** The shortest run of one byte that is worth a match, and the shortest match there is. */
const SHORTEST_RUN = 4;
export const SHORTEST = 3;
/** So many earlier places with the same hash are tried. */
export const TRIES = 128;
export const HASH_BITS = 15;
/** Bits that a symbol takes that no block has had yet. */
const UNSEEN = 12;
/** So many bytes tell whether a block repeats itself, … */
const TRIAL = 4096;
/** … which it does where matches save at least a part in so many. */
const WORTH = 32;

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
  for (let s = 0; s < DISTANCES; s++) distances[s] = distanceBits(s) + Math.max(0, (s >> 1) - 1);
  return { bytes, lengths, distances };
};

/** What finds matches in a block: here, or in the kernel. */
export interface Finder {
  /** Runs of one byte in the whole block. */
  runs(): number;
  /** Matches that begin in [from, to) and save bits; bytes before `from` can be matched. */
  all(from: number, to: number): number;
  /** Bits that the matches found last save. */
  saved(): number;
}

/**
 * Finds the matches of a block: only runs of one byte where it is noisy. Noise repeats nothing else for long, and codes for
 * matches make those of single bytes longer. What the matches save is tried on a part of the block.
 * @param count bytes of the block
 * @param bits what they take one by one
 * @returns whether it repeats itself, and the number of matches, which are those that the finder found last
 */
export const findMatches = (finder: Finder, count: number, bits: number) => {
  const from = Math.min(FARTHEST, count >> 1);
  const to = Math.min(count, from + TRIAL);
  finder.all(from, to);
  const repeats = finder.saved() * WORTH * count > bits * (to - from);
  return { repeats, matches: repeats ? finder.all(0, count) : finder.runs() };
};

/** How many bytes from `at` on equal those `distance` before them. */
const lengthAt = (bytes: Uint8Array, at: number, distance: number, end: number): number => {
  const most = Math.min(LONGEST, end - at);
  let length = 0;
  while (length < most && bytes[at + length] === bytes[at + length - distance]) length++;
  return length;
};

const hashAt = (bytes: Uint8Array, i: number): number =>
  Math.imul(bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16), 0x9e3779b1) >>> (32 - HASH_BITS);

/**
 * A finder over bytes, in plain code.
 * @param matches takes three numbers a match; there may be one for every third byte
 */
export const plainFinder = (bytes: Uint8Array, prices: Prices, matches: Int32Array): Finder => {
  let saved = 0;
  return {
    saved: () => saved,
    runs() {
      let found = 0;
      for (let i = 1; i + SHORTEST_RUN <= bytes.length; ) {
        const length = lengthAt(bytes, i, 1, bytes.length);
        if (length >= SHORTEST_RUN) {
          matches.set([i, length, 1], 3 * found++);
          i += length;
        } else i += length + 1;
      }
      return found;
    },
    all(from, to) {
      const latest = new Int32Array(1 << HASH_BITS).fill(-1);
      const earlier = new Int32Array(to);
      const remember = (i: number) => {
        const hash = hashAt(bytes, i);
        earlier[i] = latest[hash]!;
        latest[hash] = i;
      };
      const last = to - SHORTEST;
      let found = 0;
      saved = 0;
      for (let i = Math.max(0, from - FARTHEST); i < from && i <= last; i++) remember(i);
      const search = (i: number) => {
        let [saving, length, distance] = [0, 0, 0];
        let place = i <= last ? latest[hashAt(bytes, i)]! : -1;
        for (let tried = 0; tried < TRIES && place >= 0 && i - place <= FARTHEST; tried++) {
          const longer = lengthAt(bytes, i, i - place, to);
          if (longer >= SHORTEST && longer > length) {
            let more = -prices.lengths[longer]! - prices.distances[symbolOf(distanceSymbol(i - place))]!;
            for (let k = 0; k < longer; k++) more += prices.bytes[bytes[i + k]!]!;
            if (more > saving) [saving, length, distance] = [more, longer, i - place];
          }
          place = earlier[place]!;
        }
        return { saving, length, distance };
      };
      for (let i = from, here = search(i); i <= last; ) {
        remember(i);
        // A byte alone, where what begins behind it saves more.
        const next = here.length > 0 && here.length < LONGEST ? search(i + 1) : undefined;
        if (here.length === 0 || (next && next.saving > here.saving)) {
          i++;
          here = next ?? search(i);
          continue;
        }
        matches.set([i, here.length, here.distance], 3 * found++);
        saved += here.saving;
        const end = i + here.length;
        while (++i < end) if (i <= last) remember(i);
        here = search(i);
      }
      return found;
    },
  };
};
