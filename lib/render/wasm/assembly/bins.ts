// Where values are counted, by the bits of their float32 with the sign folded in (their key): the upper 16 bits choose a
// bin, the lower 16 a place in it.

/** Bytes of a bin: how many values · 2⁴⁰ + the sum of their lower bits, and the sum of the squares of these. */
const BIN_BYTES: usize = 16;
const ONE: u64 = 1 << 40;

let bins: usize = 0;
/** A byte for each bin: 0, or 1 + the number of its table of lower bits. */
let slots: usize = 0;
/** Tables of 2¹⁶ bytes: small enough for the second-level cache. What a byte cannot hold is carried. */
let tables: usize = 0;
/** Places in the tables that passed 255 since the host last looked. */
let carries: usize = 0;
let carried: u32 = 0;
/** Where the host keeps the tables. */
export function setTables(binsAt: usize, slotsAt: usize, tablesAt: usize, carriesAt: usize): void {
  bins = binsAt;
  slots = slotsAt;
  // The first table belongs to slot 1.
  tables = tablesAt - 65536;
  carries = carriesAt;
  carried = 0;
}

/** How many places passed 255; the host has then taken note of them. */
export function takeCarries(): u32 {
  const count = carried;
  carried = 0;
  return count;
}

/** For each 256 bytes of a table their sum, and the sums of index · byte and of index² · byte, as three words. */
export function sumBlocks(table: usize, to: usize): void {
  for (let block = 0; block < 256; block++) {
    let count: u32 = 0;
    let places: u32 = 0;
    let squares: u32 = 0;
    for (let i: u32 = 0; i < 256; i++) {
      const byte = <u32>load<u8>(table);
      table++;
      count += byte;
      places += i * byte;
      squares += i * i * byte;
    }
    store<u32>(to, count);
    store<u32>(to, places, 4);
    store<u32>(to, squares, 8);
    to += 12;
  }
}

/** Four keys; −0 has become 0 before. */
@inline
export function keysOf(x: v128): v128 {
  return v128.xor(x, v128.or(i32x4.shr_s(x, 31), i32x4.splat(0x80000000)));
}

@inline
export function addKey(key: u32): void {
  const bin = bins + (<usize>key >> 16) * BIN_BYTES;
  const low = <u64>(key & 0xffff);
  store<u64>(bin, load<u64>(bin) + (ONE | low));
  store<u64>(bin, load<u64>(bin, 8) + low * low, 8);
}

/** Where values of bins without a table are counted, and forgotten: one place for each of the four lanes. */
const nowhere = memory.data(16, 16);

/** No branch on the bin: whether a value near the median has a table is as good as random. */
@inline
function placeOf(key: u32, lane: usize): usize {
  const slot = <usize>load<u8>(slots + (<usize>key >> 16));
  return select<usize>(tables + (slot << 16) + <usize>(key & 0xffff), nowhere + lane, slot != 0);
}

/** Adds one and says whether the byte passed 255. */
@inline
function passes(at: usize): bool {
  const count = load<u8>(at) + 1;
  store<u8>(at, count);
  return count == 0;
}

export function refineKey(key: u32): void {
  const at = placeOf(key, 0);
  if (passes(at)) carry(at);
}

@inline
export function refineFour(keys: v128): void {
  const a = placeOf(i32x4.extract_lane(keys, 0), 0);
  const b = placeOf(i32x4.extract_lane(keys, 1), 1);
  const c = placeOf(i32x4.extract_lane(keys, 2), 2);
  const d = placeOf(i32x4.extract_lane(keys, 3), 3);
  const overA = passes(a);
  const overB = passes(b);
  const overC = passes(c);
  const overD = passes(d);
  if (<i32>overA | <i32>overB | <i32>overC | <i32>overD) {
    if (overA) carry(a);
    if (overB) carry(b);
    if (overC) carry(c);
    if (overD) carry(d);
  }
}

function carry(at: usize): void {
  if (at < tables) return;
  store<u32>(carries + (<usize>carried << 2), <u32>(at - tables) - 65536);
  carried++;
}
