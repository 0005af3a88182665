import { lightAt, type Profile } from '../shape.ts';
import { type Found, firstPixel } from './detect.ts';

/** The pixels of a star in one line that its peak is fitted to, and what turns them into it: the same in every round. */
export interface Disc {
  /** Indices into the pixels around the star. */
  readonly at: Uint16Array;
  /** What the sums of light, value, and value times place are multiplied by to give the peak, and then the level under it. */
  readonly rows: Float64Array;
}

/** Keeps the normal equations from being singular. */
const RIDGE = 1e-6;

/** Half the side of the pixels around a star → the pixels of a disc of a radius among them. */
const whole = new Map<string, Uint16Array>();

const wholeDisc = (side: number, radius: number): Uint16Array => {
  const key = `${side} ${radius}`;
  const middle = (side - 1) / 2;
  const inside = (i: number) => ((i % side) - middle) ** 2 + (Math.floor(i / side) - middle) ** 2 < (radius + 0.5) ** 2;
  const found = whole.get(key) ?? Uint16Array.from(Array.from({ length: side * side }, (_, i) => i).filter(inside));
  whole.set(key, found);
  return found;
};

/**
 * A star, a level and a slope by least squares over the pixels within a radius.
 * @param usable 0 for pixels around the star that do not count
 */
export const discOf = (star: Found, k: number, profile: Profile, radius: number, usable?: Uint8Array): Disc => {
  const { pixels } = star;
  const from = firstPixel(star, k);
  const all = wholeDisc(2 * star.radius + 1, radius);
  const counts = (i: number) => pixels[from + i]! - pixels[from + i]! === 0 && usable?.[i] !== 0;
  const at = all.every(counts) ? all : all.filter(counts);
  const { left, top, side } = cornerOf(star);
  const normal = [0, 1, 2, 3].map(() => new Float64Array(8));
  for (let j = 0; j < at.length; j++) {
    const i = at[j]!;
    const v = Math.floor(i / side);
    const [dx, dy] = [left + i - v * side, top + v];
    addSquares(normal, lightAt(profile, dx, dy), dx, dy);
  }
  for (let a = 0; a < 4; a++) {
    for (let b = 0; b < a; b++) normal[a]![b] = normal[b]![a]!;
    normal[a]![a]! += RIDGE;
    normal[a]![4 + a] = 1;
  }
  invert(normal);
  return { at, rows: Float64Array.of(...normal[0]!.subarray(4), ...normal[1]!.subarray(4)) };
};

/** Where the first of the pixels around a star lies from its centre, and how many are in a row. */
export const cornerOf = ({ column, row, x, y, radius }: Found) => ({
  left: column - radius - x,
  top: row - radius - y,
  side: 2 * radius + 1,
});

/** Adds one pixel to the upper half of the normal equations of light, level and slopes. */
const addSquares = (normal: readonly Float64Array[], light: number, dx: number, dy: number): void => {
  const [first, second, third, fourth] = normal as [Float64Array, Float64Array, Float64Array, Float64Array];
  first[0]! += light * light;
  first[1]! += light;
  first[2]! += light * dx;
  first[3]! += light * dy;
  second[1]! += 1;
  second[2]! += dx;
  second[3]! += dy;
  third[2]! += dx * dx;
  third[3]! += dx * dy;
  fourth[3]! += dy * dy;
};

/** Turns the left half of the rows of a positive definite matrix into the identity (Gauss and Jordan), the right half with it. */
const invert = (rows: readonly Float64Array[]): void => {
  for (const [k, pivot] of rows.entries()) {
    const first = pivot[k]!;
    for (let j = k; j < pivot.length; j++) pivot[j]! /= first;
    for (const row of rows) {
      const factor = row[k]!;
      if (row === pivot || factor === 0) continue;
      for (let j = k; j < pivot.length; j++) row[j]! -= factor * pivot[j]!;
    }
  }
};

/** Peak and level that fit what is left of a star's pixels. @param taken light of stars at these pixels, from `offset` on */
export const fitDisc = (
  { at, rows }: Disc,
  star: Found,
  k: number,
  profile: Profile,
  taken: Float32Array,
  offset: number,
): { readonly peak: number; readonly level: number } => {
  const { pixels } = star;
  const from = firstPixel(star, k);
  const { left, top, side } = cornerOf(star);
  let [light, all, slopeX, slopeY] = [0, 0, 0, 0];
  for (let j = 0; j < at.length; j++) {
    const i = at[j]!;
    const v = Math.floor(i / side);
    const [dx, dy] = [left + i - v * side, top + v];
    const value = pixels[from + i]! - taken[offset + i]!;
    light += lightAt(profile, dx, dy) * value;
    all += value;
    slopeX += dx * value;
    slopeY += dy * value;
  }
  const by = (j: number) => rows[j]! * light + rows[j + 1]! * all + rows[j + 2]! * slopeX + rows[j + 3]! * slopeY;
  return { peak: by(0), level: by(4) };
};
