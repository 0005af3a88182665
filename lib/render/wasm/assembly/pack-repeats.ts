/** How many bytes, at most `most`, equal those `distance` before them. */
@inline
export function lengthAt(at: usize, distance: i32, most: i32): i32 {
  for (let length = 0; length < most; length += 8) {
    const differ = load<u64>(at + length) ^ load<u64>(at + length - distance);
    if (differ != 0) return min(most, length + (<i32>ctz(differ) >> 3));
  }
  return most;
}

/** The first place from `i` on where four bytes equal the byte before them; `count` where there is none. */
export function firstRun(bytes: usize, i: i32, count: i32): i32 {
  const last = count - 4;
  while (i <= last) {
    const equal = i8x16.bitmask(i8x16.eq(v128.load(bytes + i), v128.load(bytes + i - 1)));
    const runs = equal & (equal >> 1) & (equal >> 2) & (equal >> 3);
    if (runs != 0) {
      i += ctz(runs);
      return i <= last ? i : count;
    }
    // The last three places may begin a run that goes on behind these bytes.
    i += 13;
  }
  return count;
}

/** As `distanceSymbol`: symbol, bits << 9, value << 13. */
@inline
export function distanceEntry(distance: i32): i32 {
  if (distance < 5) return distance - 1;
  const bits = 30 - clz(distance - 1);
  const symbol = 2 * bits + 2 + (((distance - 1) >> bits) & 1);
  return symbol | (bits << 9) | (((distance - 1) & ((1 << bits) - 1)) << 13);
}
