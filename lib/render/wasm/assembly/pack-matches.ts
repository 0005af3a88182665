// Where bytes repeat bytes before them: see lib/formats/deflate/matches.ts.
import { distanceEntry, firstRun, lengthAt } from './pack-repeats';

/** Limits, as in lib/formats/deflate. */
const LONGEST: i32 = 258;
const FARTHEST: i32 = 32768;
const SHORTEST: i32 = 3;
const TRIES: i32 = 12;
const KEPT: i32 = 8;
const KEPT_A_BYTE: i32 = 4;
const ENOUGH: i32 = 64;
const LONG: i32 = 6;
const HASH_SHIFT: i32 = 17;

/** Places by the hash of their first three and four bytes, the latest alone, and of their first `long` bytes, all of them. */
const threes: usize = memory.data((1 << 15) * 4, 16);
const fours: usize = memory.data((1 << 15) * 4, 16);
const longs: usize = memory.data((1 << 15) * 4, 16);
export const byteBits: usize = memory.data(256);
export const lengthBits: usize = memory.data(259);
export const distanceBits: usize = memory.data(30);

@inline
function putMatch(matches: usize, found: i32, at: i32, length: i32, distance: i32): void {
  const to = matches + found * 12;
  store<i32>(to, at);
  store<i32>(to, length, 4);
  store<i32>(to, distance, 8);
}

/** Runs of one byte that begin in [from, to); the number of matches. */
export function findRuns(bytes: usize, from: i32, to: i32, matches: usize): i32 {
  let found = 0;
  for (let i = firstRun(bytes, max(1, from), to); i < to; i = firstRun(bytes, i, to)) {
    const length = lengthAt(bytes + i, 1, min(LONGEST, to - i));
    putMatch(matches, found++, i, length, 1);
    i += length;
  }
  return found;
}

@inline
function slotOf(table: usize, first: i32, second: i32): usize {
  return table + (<usize>(<u32>(first * 0x9e3779b1 + second * 0x85ebca6b) >> HASH_SHIFT) << 2);
}

/** The bytes from the fifth to the `long`th. */
@inline
function secondOf(bytes: usize, i: i32): i32 {
  return long == LONG ? load<i32>(bytes + i, 4) & 0xffff : 0;
}

@inline
function remember(bytes: usize, i: i32, to: i32, earlier: usize): void {
  if (i + long > to) return;
  const four = load<i32>(bytes + i);
  store<i32>(slotOf(threes, four & 0xffffff, 0), i);
  store<i32>(slotOf(fours, four, 0), i);
  const slot = slotOf(longs, four, secondOf(bytes, i));
  store<i32>(earlier + ((i & (FARTHEST - 1)) << 2), load<i32>(slot));
  store<i32>(slot, i);
}

let long: i32 = 4;
let start: i32 = 0;
let end: i32 = 0;
let room: i32 = 0;
let list: usize = 0;

@inline
function offer(bytes: usize, i: i32, place: i32, most: i32, longest: i32): i32 {
  // What does not go on at the greatest length so far cannot be longer.
  if (longest >= most || load<u8>(bytes + place + longest) != load<u8>(bytes + i + longest)) return longest;
  const length = lengthAt(bytes + i, i - place, most);
  if (length <= longest) return longest;
  store<i32>(list, (length << 16) | (i - place));
  list += 4;
  return length;
}

/** Lists what may match at `i`; the length of the longest. */
function lookAt(bytes: usize, i: i32, to: i32, earlier: usize): i32 {
  const most = min(LONGEST, to - i);
  let longest = SHORTEST - 1;
  if (i + long > to || room < KEPT) return longest;
  const begin = list;
  const full = list + (KEPT << 2);
  const oldest = max(0, i - FARTHEST);
  const first = load<i32>(bytes + i);
  const three = load<i32>(slotOf(threes, first & 0xffffff, 0));
  if (three >= oldest) longest = offer(bytes, i, three, most, longest);
  const four = load<i32>(slotOf(fours, first, 0));
  if (four >= oldest) longest = offer(bytes, i, four, most, longest);
  let place = load<i32>(slotOf(longs, first, secondOf(bytes, i)));
  for (let tried = 0; tried < TRIES && place >= oldest && list < full; tried++) {
    longest = offer(bytes, i, place, most, longest);
    place = load<i32>(earlier + ((place & (FARTHEST - 1)) << 2));
  }
  room -= <i32>(list - begin) >> 2;
  return longest;
}

/**
 * Looks for what may match in [from, to).
 * @param earlier room for the place before each of the last that begins with the same `alike` bytes, 4 or 6
 * @param starts where the list of each place begins, and where the last ends
 */
export function look(bytes: usize, from: i32, to: i32, alike: i32, earlier: usize, starts: usize, possible: usize): void {
  long = alike;
  memory.fill(threes, 0xff, (1 << 15) * 4);
  memory.fill(fours, 0xff, (1 << 15) * 4);
  memory.fill(longs, 0xff, (1 << 15) * 4);
  for (let i = max(0, from - FARTHEST); i < from; i++) remember(bytes, i, to, earlier);
  start = from;
  end = to;
  room = KEPT_A_BYTE * (to - from);
  list = possible;
  let free = from;
  for (let i = from; i < to; i++) {
    store<usize>(starts + (<usize>(i - from) << 2), list);
    if (i >= free) {
      const longest = lookAt(bytes, i, to, earlier);
      if (longest >= ENOUGH) free = i + longest;
    }
    remember(bytes, i, to, earlier);
  }
  store<usize>(starts + (<usize>(to - from) << 2), list);
}

/**
 * Takes the cheapest of what was looked for; the number of matches.
 * @param cost room for the bits to each place
 * @param reached room for the match that ends there, length << 16 | distance, or 0
 */
export function take(bytes: usize, starts: usize, cost: usize, reached: usize, matches: usize): i32 {
  const count = end - start;
  for (let i = 1; i <= count; i++) store<i32>(cost + (i << 2), 0x7fffffff);
  store<i32>(cost, 0);
  let next = load<usize>(starts);
  for (let i = 0; i < count; i++) {
    const at = cost + (i << 2);
    const here = load<i32>(at);
    const bits = <i32>load<u8>(byteBits + load<u8>(bytes + start + i));
    if (here + bits < load<i32>(at, 4)) {
      store<i32>(at, here + bits, 4);
      store<i32>(reached + (i << 2), 0, 4);
    }
    let n = SHORTEST;
    const until = load<usize>(starts + (i << 2), 4);
    for (; next < until; next += 4) {
      const match = load<i32>(next);
      const distance = match & 0xffff;
      const back = here + <i32>load<u8>(distanceBits + (distanceEntry(distance) & 511));
      for (const length = match >> 16; n <= length; n++) {
        const sum = back + <i32>load<u8>(lengthBits + n);
        if (sum >= load<i32>(at + (n << 2))) continue;
        store<i32>(at + (n << 2), sum);
        store<i32>(reached + ((i + n) << 2), (n << 16) | distance);
      }
    }
  }
  return putTaken(reached, count, matches);
}

/** Turns matches by their ends into matches by their beginnings, along the way that was taken. */
function putTaken(reached: usize, count: i32, matches: usize): i32 {
  let match = load<i32>(reached + (count << 2));
  for (let i = count; i > 0; ) {
    i -= match == 0 ? 1 : match >> 16;
    const before = load<i32>(reached + (i << 2));
    store<i32>(reached + (i << 2), match);
    match = before;
  }
  let found = 0;
  for (let i = 0; i < count; ) {
    const taken = load<i32>(reached + (i << 2));
    if (taken == 0) i++;
    else {
      putMatch(matches, found++, start + i, taken >> 16, taken & 0xffff);
      i += taken >> 16;
    }
  }
  return found;
}
