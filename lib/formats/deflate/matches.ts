import type { Prices } from './prices.ts';
import { distanceSymbol, FARTHEST, LONGEST, SHORTEST, symbolOf } from './symbols.ts';

// Where bytes repeat bytes before them, and which of these matches make a block smallest. Matches are triples in one list:
// where one begins, how long it is, how far back it looks.

/** The shortest run of one byte that is worth a match in noise. */
const SHORTEST_RUN = 4;
/** So many earlier places that begin with the same bytes are tried, … */
const TRIES = 12;
/** … of which so many are kept, each longer than the one before; … */
const KEPT = 8;
/** … in a stretch at most so many for each of its bytes. */
export const KEPT_A_BYTE = 4;
/** None is looked for inside a match as long as this. */
const ENOUGH = 64;
const HASH_BITS = 15;

/** With how many of the same bytes places begin that are tried: matches of noise are short, others are found sooner by more. */
export const SHORT = 4;
export const LONG = 6;
export type Alike = typeof SHORT | typeof LONG;

/** What finds matches in a block: here, or in the kernel. Bytes before `from` can be matched, none from `to` on are. */
export interface Finder {
  /** Runs of one byte that begin in [from, to); the number of matches. */
  runs(from: number, to: number): number;
  /** Looks for matches that may be taken in [from, to). */
  look(from: number, to: number): void;
  /** Takes of what was looked for last what makes the fewest bits; the number of matches. */
  take(prices: Prices): number;
}

/** How many bytes, at most `most`, equal those `distance` before them. */
const lengthAt = (bytes: Uint8Array, at: number, distance: number, most: number): number => {
  let length = 0;
  while (length < most && bytes[at + length] === bytes[at + length - distance]) length++;
  return length;
};

const hashOf = (first: number, second = 0): number =>
  (Math.imul(first, 0x9e3779b1) + Math.imul(second, 0x85ebca6b)) >>> (32 - HASH_BITS);
const threeAt = (bytes: Uint8Array, i: number): number => bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16);

/** Places by the hash of their first three and four bytes, the latest alone, and of their first `alike` bytes, all of them. */
const createPlaces = (bytes: Uint8Array, to: number, alike: Alike) => {
  const [three, four, all] = [0, 1, 2].map(() => new Int32Array(1 << HASH_BITS).fill(-1)) as [
    Int32Array,
    Int32Array,
    Int32Array,
  ];
  const earlier = new Int32Array(to);
  const hashesAt = (i: number) => {
    const first = threeAt(bytes, i);
    const more = first | (bytes[i + 3]! << 24);
    return [
      hashOf(first),
      hashOf(more),
      hashOf(more, alike === LONG ? bytes[i + 4]! | (bytes[i + 5]! << 8) : 0),
    ] as const;
  };
  return {
    remember(i: number) {
      if (i + alike > to) return;
      const [a, b, c] = hashesAt(i);
      three[a] = i;
      four[b] = i;
      earlier[i] = all[c]!;
      all[c] = i;
    },
    /** Places to try for a match at `i`, in their order; none where too few bytes follow. */
    *tried(i: number) {
      if (i + alike > to) return;
      const [a, b, c] = hashesAt(i);
      const near = (place: number) => place >= 0 && i - place <= FARTHEST;
      for (const place of [three[a]!, four[b]!]) if (near(place)) yield place;
      let place = all[c]!;
      for (let tried = 0; tried < TRIES && near(place); tried++) {
        yield place;
        place = earlier[place]!;
      }
    },
  };
};

/** A match that may be taken: its length, and how far back it looks. */
type Possible = readonly [length: number, distance: number];

/** What may match in [from, to), for each place: each longer than the one before, the nearest of its length. */
const possibleIn = (bytes: Uint8Array, from: number, to: number, alike: Alike): Possible[][] => {
  const places = createPlaces(bytes, to, alike);
  for (let i = Math.max(0, from - FARTHEST); i < from; i++) places.remember(i);
  let room = KEPT_A_BYTE * (to - from);
  const possibleAt = (i: number): Possible[] => {
    const kept: Possible[] = [];
    if (room < KEPT) return kept;
    const most = Math.min(LONGEST, to - i);
    let longest = SHORTEST - 1;
    for (const place of places.tried(i)) {
      if (kept.length === KEPT) break;
      const length = lengthAt(bytes, i, i - place, most);
      if (length <= longest) continue;
      longest = length;
      kept.push([length, i - place]);
    }
    room -= kept.length;
    return kept;
  };
  const possible: Possible[][] = [];
  for (let i = from, free = from; i < to; i++) {
    const here = i >= free ? possibleAt(i) : [];
    const longest = here.at(-1)?.[0] ?? 0;
    if (longest >= ENOUGH) free = i + longest;
    possible.push(here);
    places.remember(i);
  }
  return possible;
};

/** The cheapest way over all places, each a byte or a match on from the one before; as match by its beginning. */
const cheapest = (bytes: Uint8Array, from: number, possible: readonly Possible[][], prices: Prices) => {
  const count = possible.length;
  const cost = new Int32Array(count + 1).fill(0x7fffffff);
  const reached: (Possible | undefined)[] = new Array(count + 1);
  cost[0] = 0;
  for (let i = 0; i < count; i++) {
    const here = cost[i]!;
    const bits = prices.bytes[bytes[from + i]!]!;
    if (here + bits < cost[i + 1]!) {
      cost[i + 1] = here + bits;
      reached[i + 1] = undefined;
    }
    let longest = SHORTEST - 1;
    for (const [length, distance] of possible[i]!) {
      const back = here + prices.distances[symbolOf(distanceSymbol(distance))]!;
      for (let n = longest + 1; n <= length; n++) {
        if (back + prices.lengths[n]! >= cost[i + n]!) continue;
        cost[i + n] = back + prices.lengths[n]!;
        reached[i + n] = [n, distance];
      }
      longest = length;
    }
  }
  const taken = new Map<number, Possible>();
  for (let i = count; i > 0; ) {
    const match = reached[i];
    i -= match?.[0] ?? 1;
    if (match) taken.set(i, match);
  }
  return taken;
};

/**
 * A finder over bytes, in plain code.
 * @param alike see `Alike`
 * @param matches takes three numbers a match; there may be one for every third byte
 */
export const plainFinder = (bytes: Uint8Array, alike: Alike, matches: Int32Array): Finder => {
  let start = 0;
  let possible: Possible[][] = [];
  return {
    runs(from, to) {
      let found = 0;
      for (let i = Math.max(1, from); i + SHORTEST_RUN <= to; ) {
        const length = lengthAt(bytes, i, 1, Math.min(LONGEST, to - i));
        if (length >= SHORTEST_RUN) {
          matches.set([i, length, 1], 3 * found++);
          i += length;
        } else i += length + 1;
      }
      return found;
    },
    look(from, to) {
      start = from;
      possible = possibleIn(bytes, from, to, alike);
    },
    take(prices) {
      let found = 0;
      for (const [i, [length, distance]] of [...cheapest(bytes, start, possible, prices)].reverse())
        matches.set([start + i, length, distance], 3 * found++);
      return found;
    },
  };
};
