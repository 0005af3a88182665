// Rows to filtered bytes: see lib/formats/png/filter.ts.

const RUN: i32 = 48;
const LOOKS: i32 = 3072;

/** Four tables of 256 counts. */
export const histograms: usize = memory.data(4 * 256 * 4, 16);
/** n·log₂ n, filled by the host. */
export const weighted: usize = memory.data((LOOKS + 2 * RUN) * 8, 16);

/** Copies a row with the most significant byte of each sample first. */
function storeRow(from: usize, to: usize, bytes: i32, wide: bool): void {
  for (let i = 0; i < bytes; i += 16) {
    let some = v128.load(from + i);
    if (wide) some = i8x16.shuffle(some, some, 1, 0, 3, 2, 5, 4, 7, 6, 9, 8, 11, 10, 13, 12, 15, 14);
    v128.store(to + i, some);
  }
}

@inline
export function raise(table: i32, value: i32): void {
  const at = histograms + (((table << 8) | (value & 255)) << 2);
  store<u32>(at, load<u32>(at) + 1);
}

function chooseFilter(row: usize, above: usize, pixel: i32, bytes: i32): i32 {
  memory.fill(histograms, 0, 4 * 256 * 4);
  const skip = max(1, (bytes + LOOKS - 1) / LOOKS) * RUN;
  for (let start = 0; start < bytes; start += skip) {
    const end = min(bytes, start + RUN);
    for (let i = start; i < end; i++) {
      const value = <i32>load<u8>(row + i);
      // Zeros stand before each row.
      const left = <i32>load<u8>(row + i - pixel);
      const up = <i32>load<u8>(above + i);
      raise(0, value);
      raise(1, value - left);
      raise(2, value - up);
      raise(3, value - ((left + up) >> 1));
    }
  }
  let best = 0;
  let most: f64 = -1;
  for (let type = 0; type < 4; type++) {
    let sum: f64 = 0;
    for (let i = 0; i < 256; i++)
      sum += load<f64>(weighted + (load<u32>(histograms + (((type << 8) | i) << 2)) << 3));
    if (sum <= most) continue;
    most = sum;
    best = type;
  }
  return best;
}

function filterRow(type: i32, row: usize, above: usize, pixel: i32, bytes: i32, out: usize): void {
  store<u8>(out, type);
  const into = out + 1;
  if (type == 0) {
    memory.copy(into, row, bytes);
    return;
  }
  const ones = i8x16.splat(1);
  for (let i = 0; i < bytes; i += 16) {
    const value = v128.load(row + i);
    const left = v128.load(row + i - pixel);
    const up = v128.load(above + i);
    let guess = type == 1 ? left : up;
    // The mean rounded down: that rounded up, less one where the sum is odd.
    if (type == 3) guess = i8x16.sub(i8x16.avgr_u(left, up), v128.and(v128.xor(left, up), ones));
    v128.store(into + i, i8x16.sub(value, guess));
  }
}

/**
 * Filters rows into a block.
 * @param samples rows as the machine holds them; the first is the row above, where there is one
 * @param row room for two rows with 16 zeros before each, `stride` apart
 */
export function filterRows(
  samples: usize,
  rows: i32,
  hasAbove: bool,
  bytes: i32,
  pixel: i32,
  wide: bool,
  row: usize,
  stride: usize,
  out: usize,
): void {
  let here = row;
  let above = row + stride;
  if (hasAbove) {
    storeRow(samples, above, bytes, wide);
    samples += bytes;
  } else memory.fill(above, 0, bytes);
  for (let y = 0; y < rows; y++) {
    storeRow(samples, here, bytes, wide);
    filterRow(chooseFilter(here, above, pixel, bytes), here, above, pixel, bytes, out);
    samples += bytes;
    out += bytes + 1;
    const before = above;
    above = here;
    here = before;
  }
}
