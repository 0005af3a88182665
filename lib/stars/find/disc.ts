import { lightAt, type Profile } from '../shape.ts';
import type { Found } from './detect.ts';

/** The pixels of a star in one line that its peak is fitted to, and what turns them into it: the same in every round. */
export interface Disc {
  /** Indices into the pixels around the star. */
  readonly at: Uint16Array;
  /** Rows of the inverse of the normal equations that give the peak, and the level under it. */
  readonly peak: Float64Array;
  readonly level: Float64Array;
}

/** Keeps the normal equations from being singular. */
const RIDGE = 1e-6;

/** Where a pixel around a star lies from its centre. */
export const fromCentre = ({ column, row, x, y, radius }: Found, index: number): readonly [dx: number, dy: number] => {
  const side = 2 * radius + 1;
  const v = Math.floor(index / side);
  return [column - radius + index - v * side - x, row - radius + v - y];
};

/**
 * A star, a level and a slope by least squares over the pixels within a radius.
 * @param usable 0 for pixels around the star that do not count
 */
export const discOf = (star: Found, k: number, profile: Profile, radius: number, usable?: Uint8Array): Disc => {
  const pixels = star.pixels[k]!;
  const at: number[] = [];
  const normal = [0, 1, 2, 3].map(() => new Float64Array(8));
  for (let i = 0; i < pixels.length; i++) {
    const [dx, dy] = fromCentre(star, i);
    const value = pixels[i]!;
    if (value - value !== 0 || dx * dx + dy * dy >= (radius + 0.5) ** 2 || usable?.[i] === 0) continue;
    at.push(i);
    addSquares(normal, lightAt(profile, dx, dy), dx, dy);
  }
  for (let a = 0; a < 4; a++) {
    for (let b = 0; b < a; b++) normal[a]![b] = normal[b]![a]!;
    normal[a]![a]! += RIDGE;
    normal[a]![4 + a] = 1;
  }
  invert(normal);
  return { at: Uint16Array.from(at), peak: normal[0]!.slice(4), level: normal[1]!.slice(4) };
};

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
export const invert = (rows: readonly Float64Array[]): void => {
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
  { at, peak, level }: Disc,
  star: Found,
  k: number,
  profile: Profile,
  taken: Float32Array,
  offset: number,
): { readonly peak: number; readonly level: number } => {
  const pixels = star.pixels[k]!;
  const { column, row, x, y, radius } = star;
  const side = 2 * radius + 1;
  const [left, top] = [column - radius - x, row - radius - y];
  let [light, all, slopeX, slopeY] = [0, 0, 0, 0];
  for (let j = 0; j < at.length; j++) {
    const i = at[j]!;
    const v = Math.floor(i / side);
    const [dx, dy] = [left + i - v * side, top + v];
    const value = pixels[i]! - taken[offset + i]!;
    light += lightAt(profile, dx, dy) * value;
    all += value;
    slopeX += dx * value;
    slopeY += dy * value;
  }
  const by = (of: Float64Array) => of[0]! * light + of[1]! * all + of[2]! * slopeX + of[3]! * slopeY;
  return { peak: by(peak), level: by(level) };
};
