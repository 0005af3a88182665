// Symbols counted, and put as bits: see lib/formats/deflate/plain.ts.
import { histograms, raise } from './pack-filter';
import { distanceEntry } from './pack-repeats';

export const lengthSymbols: usize = memory.data(259 * 4, 16);
export const literals: usize = memory.data(286 * 4, 16);
export const distances: usize = memory.data(30 * 4, 16);
export const literalWords: usize = memory.data(286 * 4, 16);
export const distanceWords: usize = memory.data(30 * 4, 16);

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

/** Goes on behind so many bits that are begun at an address. */
export function putFrom(at: usize, begun: i32, count: i32): void {
  end = at;
  held = begun;
  bits = count;
}

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

/** Puts the symbols of [from, to) and the end of a block; fewer than eight bits remain begun. Where whole bytes end. */
export function putBlock(bytes: usize, from: i32, to: i32, matches: usize, found: i32): usize {
  let at = from;
  for (let m = 0; m <= found; m++) {
    const match = matches + m * 12;
    const until = m < found ? load<i32>(match) : to;
    for (; at < until; at++) putWord(literalWords, load<u8>(bytes + at));
    if (m == found) break;
    putEntry(literalWords, load<i32>(lengthSymbols + (load<i32>(match, 4) << 2)));
    putEntry(distanceWords, distanceEntry(load<i32>(match, 8)));
    at += load<i32>(match, 4);
  }
  putWord(literalWords, 256);
  for (; bits >= 8; bits -= 8) {
    store<u8>(end++, <u8>held);
    held >>= 8;
  }
  return end;
}

export function putHeld(): i32 {
  return <i32>held;
}

export function putBits(): i32 {
  return bits;
}

/** Puts an empty stored block; where it ends. */
export function endBlocks(): usize {
  put(0, 3);
  for (; bits > 0; bits -= 8) {
    store<u8>(end++, <u8>held);
    held >>= 8;
  }
  store<u32>(end, 0xffff0000);
  return end + 4;
}
