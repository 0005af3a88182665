// The loop over the codes of a DEFLATE block: see lib/formats/fits/inflate.ts, where it is written plainly and explained.

/** Bits that one look at the table of literals, and of distances, decodes. */
const LITERAL_BITS: i32 = 11;
const DISTANCE_BITS: i32 = 9;
const MOST_BITS: i32 = 15;

/** Entries: bits of the code, extra bits << 4, kind << 8, and literal, length or distance << 12. */
const LITERAL: u32 = 0;
const BASE: u32 = 1;
const END: u32 = 2;
/** The code is longer than the table's bits, or none. */
const LONG: u32 = 3;
const DAMAGED: u32 = 4;

/** How many codes there are of each length, and symbols in their order, as u16: where the host writes them. */
const literalCounts: usize = memory.data(16 * 2, 16);
const literalSymbols: usize = memory.data(320 * 2, 16);
const distanceCounts: usize = memory.data(16 * 2, 16);
const distanceSymbols: usize = memory.data(320 * 2, 16);
const literals: usize = memory.data(4 << 11, 16);
const distances: usize = memory.data(4 << 9, 16);
const literalEntries: usize = memory.data(320 * 4, 16);
const distanceEntries: usize = memory.data(320 * 4, 16);

export function codePlace(i: i32): usize {
  return i == 0 ? literalCounts : i == 1 ? literalSymbols : i == 2 ? distanceCounts : distanceSymbols;
}

/** Symbols 257 + i have lengths (RFC 1951, section 3.2.5). */
function lengthEntry(symbol: i32): u32 {
  if (symbol < 256) return (symbol << 12) | (LITERAL << 8);
  if (symbol == 256) return END << 8;
  const i = symbol - 257;
  if (i > 28) return DAMAGED << 8;
  if (i == 28) return (258 << 12) | (BASE << 8);
  if (i < 8) return ((3 + i) << 12) | (BASE << 8);
  const extra = (i >> 2) - 1;
  return ((3 + ((4 + (i & 3)) << extra)) << 12) | (BASE << 8) | (extra << 4);
}

function distanceEntry(symbol: i32): u32 {
  if (symbol > 29) return DAMAGED << 8;
  if (symbol < 4) return ((1 + symbol) << 12) | (BASE << 8);
  const extra = (symbol >> 1) - 1;
  return ((1 + ((2 + (symbol & 1)) << extra)) << 12) | (BASE << 8) | (extra << 4);
}

function reversed(value: i32, count: i32): i32 {
  let result = 0;
  for (let i = 0; i < count; i++) result |= ((value >>> i) & 1) << (count - 1 - i);
  return result;
}

function fillTable(fast: usize, bits: i32, counts: usize, symbols: usize, entries: usize, ofLengths: bool): void {
  const size = 1 << bits;
  for (let i = 0; i < size; i++) store<u32>(fast + (<usize>i << 2), LONG << 8);
  let code = 0;
  let index: usize = 0;
  for (let length = 1; length <= MOST_BITS; length++) {
    for (let n = <i32>load<u16>(counts + (<usize>length << 1)); n > 0; n--) {
      const symbol = <i32>load<u16>(symbols + (index << 1));
      const entry = (ofLengths ? lengthEntry(symbol) : distanceEntry(symbol)) | length;
      store<u32>(entries + (index << 2), entry);
      if (length <= bits)
        for (let i = reversed(code, length); i < size; i += 1 << length) store<u32>(fast + (<usize>i << 2), entry);
      index++;
      code++;
    }
    code <<= 1;
  }
}

/** Makes the tables of the codes whose counts and symbols the host has written. */
export function setCodes(): void {
  fillTable(literals, LITERAL_BITS, literalCounts, literalSymbols, literalEntries, true);
  fillTable(distances, DISTANCE_BITS, distanceCounts, distanceSymbols, distanceEntries, false);
}

/** A code that the table does not hold. */
function longEntry(bits: u64, counts: usize, entries: usize): u32 {
  let value = 0;
  let first = 0;
  let index = 0;
  for (let length = 1; length <= MOST_BITS; length++) {
    value |= <i32>((bits >>> (length - 1)) & 1);
    const count = <i32>load<u16>(counts + (<usize>length << 1));
    if (value - first < count) return load<u32>(entries + (<usize>(index + value - first) << 2));
    index += count;
    first = (first + count) << 1;
    value <<= 1;
  }
  return DAMAGED << 8;
}

let bits: u64 = 0;
let bitCount: i32 = 0;
let from: usize = 0;
let at: usize = 0;

export function bitsLeft(): u32 {
  return <u32>bits;
}
export function bitCountLeft(): i32 {
  return bitCount;
}
export function inputAt(): usize {
  return from;
}
export function outputAt(): usize {
  return at;
}

/**
 * Decodes codes from `input` on, up to `stop`, behind which 16 more bytes can be read, to `output` on, up to `limit`,
 * behind which a longest match and 8 bytes fit. Matches reach back to `start`.
 * @returns 0 where input or output ran out, 1 at the end of the block, 2 and 3 for a damaged code and match
 */
export function decodeCodes(
  held: u32,
  heldCount: i32,
  input: usize,
  stop: usize,
  output: usize,
  limit: usize,
  start: usize,
): i32 {
  let buffer: u64 = held;
  let count = heldCount;
  let i = input;
  let o = output;
  let result = 0;
  while (o <= limit && i < stop) {
    buffer |= load<u64>(i) << count;
    i += (63 - count) >> 3;
    count |= 56;
    let entry = load<u32>(literals + ((<usize>buffer & 2047) << 2));
    // Three literals take at most 45 of the 56 bits.
    if ((entry & 0xf00) == 0) {
      store<u8>(o++, entry >> 12);
      buffer >>>= entry & 15;
      count -= entry & 15;
      entry = load<u32>(literals + ((<usize>buffer & 2047) << 2));
      if ((entry & 0xf00) == 0) {
        store<u8>(o++, entry >> 12);
        buffer >>>= entry & 15;
        count -= entry & 15;
        entry = load<u32>(literals + ((<usize>buffer & 2047) << 2));
        if ((entry & 0xf00) == 0) {
          store<u8>(o++, entry >> 12);
          buffer >>>= entry & 15;
          count -= entry & 15;
          continue;
        }
      }
      if (o > limit) break;
    }
    buffer |= load<u64>(i) << count;
    i += (63 - count) >> 3;
    count |= 56;
    if ((entry & 0xf00) == LONG << 8) entry = longEntry(buffer, literalCounts, literalEntries);
    const kind = (entry >>> 8) & 15;
    if (kind == DAMAGED) {
      // A symbol that means nothing has a code, other bits have none.
      result = entry & 15 ? 3 : 2;
      break;
    }
    buffer >>>= entry & 15;
    count -= entry & 15;
    if (kind == LITERAL) {
      store<u8>(o++, entry >> 12);
      continue;
    }
    if (kind == END) {
      result = 1;
      break;
    }
    const lengthExtra = <i32>((entry >>> 4) & 15);
    const length = <i32>(entry >>> 12) + (<i32>buffer & ((1 << lengthExtra) - 1));
    buffer >>>= lengthExtra;
    count -= lengthExtra;
    // Of the 56 bits a length takes at most 20, a distance 28.
    entry = load<u32>(distances + ((<usize>buffer & 511) << 2));
    if ((entry & 0xf00) == LONG << 8) entry = longEntry(buffer, distanceCounts, distanceEntries);
    if (((entry >>> 8) & 15) != BASE) {
      result = 3;
      break;
    }
    buffer >>>= entry & 15;
    count -= entry & 15;
    const distanceExtra = <i32>((entry >>> 4) & 15);
    const distance = <usize>(entry >>> 12) + (<usize>buffer & ((1 << distanceExtra) - 1));
    buffer >>>= distanceExtra;
    count -= distanceExtra;
    if (distance > o - start) {
      result = 3;
      break;
    }
    const end = o + length;
    if (distance >= 8) {
      for (let p = o; p < end; p += 8) store<u64>(p, load<u64>(p - distance));
    } else {
      for (let p = o; p < end; p++) store<u8>(p, load<u8>(p - distance));
    }
    o = end;
  }
  // Whole bytes that are held go back to the input, unless they were held before.
  const back = min(count >> 3, <i32>(i - input));
  i -= back;
  count -= back << 3;
  bits = buffer & ((<u64>1 << count) - 1);
  bitCount = count;
  from = i;
  at = o;
  return result;
}
