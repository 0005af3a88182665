import type { PlaceCounts } from '../plane/counting.ts';

/** Places that one block spans, and blocks of a bin. */
const SPAN = 256;

/** Three numbers a block: how many values, the sum of their places, and the sum of these squared. All are whole. */
const NUMBERS = 3;

/** Whole numbers from which the moments of values in a bin follow. */
export interface PlaceSums {
  count: number;
  places: number;
  squares: number;
}

/** Adds `count` values of one place. */
const add = (sums: PlaceSums, place: number, count: number): void => {
  sums.count += count;
  sums.places += count * place;
  sums.squares += count * place * place;
};

/** Sums of the blocks, from what their bytes hold: count, and sums of places and squares counted from a block's start. */
export const placeCounts = (
  bytes: Uint8Array<ArrayBuffer>,
  passed: ReadonlyMap<number, number>,
  within: (block: number) => readonly [count: number, places: number, squares: number],
): PlaceCounts => {
  const blocks = new Float64Array((bytes.length / SPAN) * NUMBERS);
  for (let block = 0; block < bytes.length / SPAN; block++) {
    const [count, places, squares] = within(block);
    const start = block * SPAN;
    blocks[NUMBERS * block] = count;
    blocks[NUMBERS * block + 1] = count * start + places;
    blocks[NUMBERS * block + 2] = count * start * start + 2 * start * places + squares;
  }
  for (const [place, times] of passed) {
    const at = NUMBERS * Math.floor(place / SPAN);
    blocks[at]! += SPAN * times;
    blocks[at + 1]! += SPAN * times * place;
    blocks[at + 2]! += SPAN * times * place * place;
  }
  return { bytes, passed, blocks };
};

/** The same, summed here. */
export const summedPlaces = (bytes: Uint8Array<ArrayBuffer>, passed: ReadonlyMap<number, number>): PlaceCounts =>
  placeCounts(bytes, passed, (block) => {
    const sums = { count: 0, places: 0, squares: 0 };
    for (let i = 0; i < SPAN; i++) add(sums, i, bytes[block * SPAN + i]!);
    return [sums.count, sums.places, sums.squares];
  });

const at = (parts: readonly PlaceCounts[], place: number): number =>
  parts.reduce((sum, { bytes, passed }) => sum + bytes[place]! + SPAN * (passed.get(place) ?? 0), 0);

/** Sums over the values of a bin whose places lie below `end`. */
export const sumsBelow = (parts: readonly PlaceCounts[], end: number): PlaceSums => {
  const sums = { count: 0, places: 0, squares: 0 };
  const whole = Math.floor(end / SPAN);
  for (const { blocks } of parts)
    for (let i = 0; i < NUMBERS * whole; i += NUMBERS) {
      sums.count += blocks[i]!;
      sums.places += blocks[i + 1]!;
      sums.squares += blocks[i + 2]!;
    }
  for (let place = whole * SPAN; place < end; place++) add(sums, place, at(parts, place));
  return sums;
};

/** The place of the value of rank 0, 1, … in a bin. */
export const placeAtRank = (parts: readonly PlaceCounts[], rank: number): number => {
  let left = rank;
  let block = 0;
  for (; block < SPAN - 1; block++) {
    const count = parts.reduce((sum, { blocks }) => sum + blocks[NUMBERS * block]!, 0);
    if (left < count) break;
    left -= count;
  }
  let place = block * SPAN;
  for (const end = place + SPAN - 1; place < end; place++) {
    left -= at(parts, place);
    if (left < 0) break;
  }
  return place;
};
