// Rows of a picture to a deflate block: the loops over bytes of lib/formats/png and lib/formats/deflate, where each is
// written plainly and explained. The host makes the codes in between and decides where everything lies.
import { histograms, raise, weighted } from './pack-filter';
import { firstRun, lengthAt } from './pack-repeats';

/** Table sizes and limits, as in lib/formats. */
const LONGEST: i32 = 258;
const FARTHEST: i32 = 32768;
const SHORTEST: i32 = 3;
const TRIES: i32 = 128;
const HASH_SHIFT: i32 = 17;

const latest: usize = memory.data((1 << 15) * 4, 16);
const byteBits: usize = memory.data(256);
const lengthBits: usize = memory.data(259);
const distanceBits: usize = memory.data(30);
const lengthSymbols: usize = memory.data(259 * 4, 16);
const literals: usize = memory.data(286 * 4, 16);
const distances: usize = memory.data(30 * 4, 16);
const literalWords: usize = memory.data(286 * 4, 16);
const distanceWords: usize = memory.data(30 * 4, 16);

/** Where the host reads and writes: n·log₂ n, prices, entries of lengths, counts, code words. */
export function tableAt(i: i32): usize {
  switch (i) {
    case 0:
      return weighted;
    case 1:
      return byteBits;
    case 2:
      return lengthBits;
    case 3:
      return distanceBits;
    case 4:
      return lengthSymbols;
    case 5:
      return literals;
    case 6:
      return distances;
    case 7:
      return literalWords;
    default:
      return distanceWords;
  }
}

/** The first address that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}

/** Counts each byte, into the table of literals. */
export function frequencies(bytes: usize, count: i32): void {
  memory.fill(histograms, 0, 4 * 256 * 4);
  let i = 0;
  // Four tables, as a count waits for the one before it where the same byte comes twice.
  for (; i + 4 <= count; i += 4) {
    const four = load<u32>(bytes + i);
    raise(0, four);
    raise(1, four >> 8);
    raise(2, four >> 16);
    raise(3, four >> 24);
  }
  for (; i < count; i++) raise(0, load<u8>(bytes + i));
  for (let value = 0; value < 256; value++) {
    const at = histograms + (value << 2);
    store<u32>(literals + (value << 2), load<u32>(at) + load<u32>(at, 1024) + load<u32>(at, 2048) + load<u32>(at, 3072));
  }
}

@inline
function putMatch(matches: usize, found: i32, at: i32, length: i32, distance: i32): void {
  const to = matches + found * 12;
  store<i32>(to, at);
  store<i32>(to, length, 4);
  store<i32>(to, distance, 8);
}

/** Runs of one byte; the number of matches. */
export function findRuns(bytes: usize, count: i32, matches: usize): i32 {
  let found = 0;
  for (let i = firstRun(bytes, 1, count); i < count; i = firstRun(bytes, i, count)) {
    const length = lengthAt(bytes + i, 1, min(LONGEST, count - i));
    putMatch(matches, found++, i, length, 1);
    i += length;
  }
  return found;
}

/** As `distanceSymbol`: symbol, bits << 9, value << 13. */
@inline
function distanceEntry(distance: i32): i32 {
  if (distance < 5) return distance - 1;
  const bits = 30 - clz(distance - 1);
  const symbol = 2 * bits + 2 + (((distance - 1) >> bits) & 1);
  return symbol | (bits << 9) | (((distance - 1) & ((1 << bits) - 1)) << 13);
}

let saved: i32 = 0;
let foundSaving: i32 = 0;
let foundLength: i32 = 0;
let foundDistance: i32 = 0;

export function savedBits(): i32 {
  return saved;
}

@inline
function hashAt(bytes: usize, i: i32): i32 {
  const three = (<i32>load<u16>(bytes + i)) | ((<i32>load<u8>(bytes + i, 2)) << 16);
  return <i32>(<u32>(three * 0x9e3779b1) >> HASH_SHIFT);
}

@inline
function remember(bytes: usize, earlier: usize, i: i32): void {
  const slot = latest + (hashAt(bytes, i) << 2);
  store<i32>(earlier + (i << 2), load<i32>(slot));
  store<i32>(slot, i);
}

/** @param paid bits of all bytes before each place */
function search(bytes: usize, earlier: usize, paid: usize, i: i32, last: i32, end: i32): void {
  foundSaving = 0;
  foundLength = 0;
  foundDistance = 0;
  if (i > last) return;
  const most = min(LONGEST, end - i);
  const before = load<i32>(paid + (i << 2));
  let place = load<i32>(latest + (hashAt(bytes, i) << 2));
  for (let tried = 0; tried < TRIES && place >= 0 && i - place <= FARTHEST; tried++) {
    // What does not go on at the best length so far cannot be longer.
    if (foundLength < most && load<u8>(bytes + place + foundLength) == load<u8>(bytes + i + foundLength)) {
      const longer = lengthAt(bytes + i, i - place, most);
      if (longer >= SHORTEST && longer > foundLength) {
        const price =
          <i32>load<u8>(lengthBits + longer) + <i32>load<u8>(distanceBits + (distanceEntry(i - place) & 511));
        const saving = load<i32>(paid + ((i + longer) << 2)) - before - price;
        if (saving > foundSaving) {
          foundSaving = saving;
          foundLength = longer;
          foundDistance = i - place;
        }
      }
    }
    place = load<i32>(earlier + (place << 2));
  }
}

/** Matches that begin in [from, to) and save bits; their number. */
export function findAll(bytes: usize, from: i32, to: i32, matches: usize, earlier: usize, paid: usize): i32 {
  memory.fill(latest, 0xff, (1 << 15) * 4);
  let bits = 0;
  for (let i = from; i < to; i++) {
    store<i32>(paid + (i << 2), bits);
    bits += load<u8>(byteBits + load<u8>(bytes + i));
  }
  store<i32>(paid + (to << 2), bits);
  const last = to - SHORTEST;
  for (let i = max(0, from - FARTHEST); i < from && i <= last; i++) remember(bytes, earlier, i);
  let found = 0;
  let i = from;
  saved = 0;
  search(bytes, earlier, paid, i, last, to);
  while (i <= last) {
    remember(bytes, earlier, i);
    const length = foundLength;
    const saving = foundSaving;
    const distance = foundDistance;
    if (length == 0 || length < LONGEST) search(bytes, earlier, paid, i + 1, last, to);
    if (length == 0 || (length < LONGEST && foundSaving > saving)) {
      i++;
      continue;
    }
    putMatch(matches, found++, i, length, distance);
    saved += saving;
    const end = i + length;
    while (++i < end) if (i <= last) remember(bytes, earlier, i);
    search(bytes, earlier, paid, i, last, to);
  }
  return found;
}

@inline
function raiseAt(table: usize, symbol: i32): void {
  const at = table + (symbol << 2);
  store<u32>(at, load<u32>(at) + 1);
}

/** Counts the symbols of a block with its matches, over the counts of its bytes. */
export function countSymbols(bytes: usize, matches: usize, found: i32): void {
  memory.fill(literals + 1024, 0, 30 * 4);
  memory.fill(distances, 0, 30 * 4);
  store<u32>(literals + 1024, 1);
  for (let m = 0; m < found; m++) {
    const at = matches + m * 12;
    const place = bytes + load<i32>(at);
    const length = load<i32>(at, 4);
    for (let k = 0; k < length; k++) {
      const slot = literals + (<i32>load<u8>(place + k) << 2);
      store<u32>(slot, load<u32>(slot) - 1);
    }
    raiseAt(literals, load<i32>(lengthSymbols + (length << 2)) & 511);
    raiseAt(distances, distanceEntry(load<i32>(at, 8)) & 511);
  }
}

let held: u64 = 0;
let bits: i32 = 0;
let end: usize = 0;

@inline
function put(value: u32, count: i32): void {
  held |= <u64>value << bits;
  bits += count;
  if (bits < 32) return;
  store<u32>(end, <u32>held);
  end += 4;
  held >>= 32;
  bits -= 32;
}

@inline
function putWord(words: usize, symbol: i32): void {
  const word = load<u32>(words + (symbol << 2));
  put(word & 0xffff, word >> 16);
}

@inline
function putEntry(words: usize, entry: i32): void {
  putWord(words, entry & 511);
  put(entry >>> 13, (entry >>> 9) & 15);
}

/** Puts symbols, the end, and an empty stored block, behind so many bits that are begun; where they end. */
export function putBlock(
  bytes: usize,
  count: i32,
  matches: usize,
  found: i32,
  out: usize,
  begun: i32,
  bitsBegun: i32,
): usize {
  held = begun;
  bits = bitsBegun;
  end = out;
  let at = 0;
  for (let m = 0; m <= found; m++) {
    const match = matches + m * 12;
    const until = m < found ? load<i32>(match) : count;
    for (; at < until; at++) putWord(literalWords, load<u8>(bytes + at));
    if (m == found) break;
    putEntry(literalWords, load<i32>(lengthSymbols + (load<i32>(match, 4) << 2)));
    putEntry(distanceWords, distanceEntry(load<i32>(match, 8)));
    at += load<i32>(match, 4);
  }
  putWord(literalWords, 256);
  put(0, 3);
  for (; bits > 0; bits -= 8) {
    store<u8>(end++, <u8>held);
    held >>= 8;
  }
  store<u32>(end, 0xffff0000);
  return end + 4;
}

export { filterRows } from './pack-filter';
export { adler32, crc32 } from './pack-sums';
