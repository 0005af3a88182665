// Where bytes repeat bytes before them. Triples in one list: where a match begins, how long it is, how far back it looks.

export const LONGEST = 258;
const FARTHEST = 32768;
/** A match is worth its codes from so many bytes on. */
const SHORTEST = 4;
/** So many earlier places with the same hash are tried. */
const TRIES = 16;
const HASH_BITS = 15;
/** About what the codes of a length and of a distance take without the distance's extra bits. */
const MATCH_BITS = 10;
/** So many bytes in the middle of a block tell whether it repeats itself. */
const TRIAL = 4096;

/**
 * All matches of a block: only runs of one byte where it is noisy. Noise repeats nothing else for long, and codes for
 * matches make those of single bytes longer.
 * @param bits what its bytes would take one by one
 */
export const findMatches = (bytes: Uint8Array, bits: number): number[] =>
  repeats(bytes, bits) ? findAll(bytes, bits) : findRuns(bytes);

/** Whether matches cover most of a part of the block. Above four bits a byte none is looked for. */
const repeats = (bytes: Uint8Array, bits: number): boolean => {
  if (bits > 4 * bytes.length) return false;
  const from = Math.max(0, (bytes.length - TRIAL) >> 1);
  const part = bytes.subarray(from, from + TRIAL);
  const found = findAll(part, Math.floor((bits * part.length) / bytes.length));
  const covered = found.reduce((sum, value, i) => (i % 3 === 1 ? sum + value : sum), 0);
  return 4 * covered > 3 * part.length;
};

const findRuns = (bytes: Uint8Array): number[] => {
  const matches: number[] = [];
  for (let i = 1; i + SHORTEST <= bytes.length; ) {
    // Looks at the last byte of the shortest run first: most places need one comparison.
    const value = bytes[i - 1];
    if (bytes[i + 3] !== value || bytes[i] !== value || bytes[i + 1] !== value || bytes[i + 2] !== value) {
      i++;
      continue;
    }
    const length = lengthAt(bytes, i, 1);
    matches.push(i, length, 1);
    i += length;
  }
  return matches;
};

/** How many bytes from `at` on equal those `distance` before them. */
const lengthAt = (bytes: Uint8Array, at: number, distance: number): number => {
  const most = Math.min(LONGEST, bytes.length - at);
  let length = 0;
  while (length < most && bytes[at + length] === bytes[at + length - distance]) length++;
  return length;
};

/** Extra bits of a distance (RFC 1951 §3.2.5). */
const extraOf = (distance: number): number => Math.max(0, 30 - Math.clz32(distance - 1 || 1));

const hashAt = (bytes: Uint8Array, i: number): number => {
  const four = bytes[i]! | (bytes[i + 1]! << 8) | (bytes[i + 2]! << 16) | (bytes[i + 3]! << 24);
  return Math.imul(four, 0x9e3779b1) >>> (32 - HASH_BITS);
};

/** Greedy: at each place the match that saves most among the last few places with the same four bytes. */
const findAll = (bytes: Uint8Array, bits: number): number[] => {
  const matches: number[] = [];
  const latest = new Int32Array(1 << HASH_BITS).fill(-1);
  const earlier = new Int32Array(bytes.length);
  const last = bytes.length - SHORTEST;
  const remember = (i: number) => {
    const hash = hashAt(bytes, i);
    earlier[i] = latest[hash]!;
    latest[hash] = i;
  };
  for (let i = 0; i <= last; ) {
    let saved = 0;
    let found = 0;
    let distance = 0;
    let place = latest[hashAt(bytes, i)]!;
    for (let tried = 0; tried < TRIES && place >= 0 && i - place <= FARTHEST; tried++) {
      const length = lengthAt(bytes, i, i - place);
      // In units of 1/bytes.length of a bit, so that all is in whole numbers.
      const saving = length * bits - (MATCH_BITS + extraOf(i - place)) * bytes.length;
      if (length >= SHORTEST && saving > saved) {
        saved = saving;
        found = length;
        distance = i - place;
      }
      place = earlier[place]!;
    }
    const end = i + Math.max(1, found);
    if (found > 0) matches.push(i, found, distance);
    for (; i < end; i++) if (i <= last) remember(i);
  }
  return matches;
};
