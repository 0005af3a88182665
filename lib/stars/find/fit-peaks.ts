import { FAINTEST, FARTHEST, fadingAt } from '../model.ts';
import { lightAt, type Profile, profileOf, radiusAt, type StarShape } from '../shape.ts';
import { FULL } from '../splitter.ts';
import { type Found, firstPixel } from './detect.ts';
import { cornerOf, type Disc, discOf, fitDisc } from './disc.ts';
import { placesNear } from './near.ts';

/** What the peaks of one line are fitted with. */
export interface LineFit {
  readonly shape: StarShape;
  /** Noise of a pixel at the background. */
  readonly noise: number;
  /** From this value on pixels are saturated. */
  readonly full: number | undefined;
}

/** Stars with the numbers that were found so far: for each line the peaks, and the levels under them. */
export interface Fitted {
  readonly stars: readonly Found[];
  readonly peaks: readonly Float64Array[];
  readonly under: readonly Float64Array[];
}

/** One line of a list of stars at work. */
export interface PeakFitter {
  /** Fits all stars to what the others leave, and moves each peak by a part of what was found. */
  round(part: (star: number) => number): void;
  /** Light of all stars at the pixels around each; see `offsets`. */
  readonly taken: Float32Array;
  readonly offsets: Uint32Array;
  readonly discs: readonly Disc[];
  readonly profile: Profile;
  /** Brings `taken` up to date with the peaks. */
  takeAll(): void;
}

/**
 * @param radius of the disc that peaks are fitted over; twice as much around saturated pixels
 * @param known discs that were made for this line before
 */
export const peakFitter = (
  { stars, peaks, under }: Fitted,
  k: number,
  line: LineFit,
  radius: number,
  known: Map<Found, Disc>,
): PeakFitter => {
  const profile = profileOf(line.shape, FARTHEST + 2 * radius + 4);
  const discs = stars.map((star) => {
    const before = known.get(star);
    if (before !== undefined) return before;
    const unsaturated = line.full === undefined ? undefined : unsaturatedPixels(star, k, FULL * line.full);
    const large = unsaturated !== undefined && star.radius >= 2 * radius;
    const disc = discOf(star, k, profile, large ? 2 * radius : radius, unsaturated);
    known.set(star, disc);
    return disc;
  });
  const offsets = new Uint32Array(stars.length + 1);
  for (const [s, star] of stars.entries()) offsets[s + 1] = offsets[s]! + (2 * star.radius + 1) ** 2;
  const taken = new Float32Array(offsets[stars.length]!);
  const near = placesNear({ x: stars.map(({ x }) => x), y: stars.map(({ y }) => y) });
  const takeAll = () => {
    taken.fill(0);
    for (const [t, star] of stars.entries()) {
      const peak = Math.max(0, peaks[k]![t]!);
      const reach = Math.min(FARTHEST, radiusAt(line.shape, peak, FAINTEST * line.noise));
      if (reach === 0) continue;
      near(star.x, star.y, reach + MOST_RADIUS, (s) =>
        addTo(taken, offsets[s]!, stars[s]!, { x: star.x, y: star.y, peak, reach, profile }),
      );
    }
  };
  return {
    taken,
    offsets,
    discs,
    profile,
    takeAll,
    round(part) {
      takeAll();
      for (const [s, star] of stars.entries()) {
        const found = fitDisc(discs[s]!, star, k, profile, taken, offsets[s]!);
        peaks[k]![s]! += part(s) * found.peak;
        under[k]![s] = found.level;
      }
    },
  };
};

/** Stars further away than this do not have the light of others taken from their pixels' corners. */
const MOST_RADIUS = 12;

interface Light {
  readonly x: number;
  readonly y: number;
  readonly peak: number;
  readonly reach: number;
  readonly profile: Profile;
}

/** Adds the light of one star to the pixels around another. */
const addTo = (taken: Float32Array, offset: number, to: Found, { x, y, peak, reach, profile }: Light): void => {
  const side = 2 * to.radius + 1;
  const left = to.column - to.radius - x;
  const top = to.row - to.radius - y;
  if (left > reach || top > reach || left + side < -reach || top + side < -reach) return;
  for (let v = 0; v < side; v++)
    for (let u = 0; u < side; u++) {
      const [dx, dy] = [left + u, top + v];
      const away = dx * dx + dy * dy;
      if (away >= reach * reach) continue;
      taken[offset + v * side + u]! += peak * lightAt(profile, dx, dy) * fadingAt(Math.sqrt(away), reach);
    }
};

/** 0 for saturated pixels and their neighbours; undefined where there are none. */
const unsaturatedPixels = (star: Found, k: number, full: number): Uint8Array | undefined => {
  const side = 2 * star.radius + 1;
  const from = firstPixel(star, k);
  const pixels = star.pixels.subarray(from, from + side * side);
  if (!pixels.some((value) => value >= full)) return undefined;
  const usable = new Uint8Array(pixels.length).fill(1);
  for (const [i, value] of pixels.entries()) {
    if (!(value >= full)) continue;
    const [x, y] = [i % side, Math.floor(i / side)];
    for (let v = Math.max(0, y - 1); v <= Math.min(side - 1, y + 1); v++)
      for (let u = Math.max(0, x - 1); u <= Math.min(side - 1, x + 1); u++) usable[v * side + u] = 0;
  }
  return usable;
};

/** How badly a point explains the light at each star's place, and how much light there is, in squares of the noise. */
export interface Misfits {
  /** 0 perfectly, 1 not at all; over all lines. */
  readonly misfit: Float64Array;
  readonly explained: Float64Array;
}

/** @param noiseOf noise of a pixel of a line under a star */
export const misfitsOf = (
  { stars, peaks }: Fitted,
  fitters: readonly PeakFitter[],
  noiseOf: (k: number, star: number) => number,
): Misfits => {
  const [unexplained, explained] = [new Float64Array(stars.length), new Float64Array(stars.length)];
  for (const [k, { taken, offsets, discs, profile, takeAll }] of fitters.entries()) {
    takeAll();
    for (const [s, star] of stars.entries()) {
      const { at } = discs[s]!;
      const perSquare = 1 / noiseOf(k, s) ** 2;
      const left = squaresAbovePlane(star, k, at, taken, offsets[s]!);
      unexplained[s]! += Math.max(0, perSquare * left - at.length);
      explained[s]! += perSquare * peaks[k]![s]! ** 2 * lightSquares(star, at, profile);
    }
  }
  return { misfit: unexplained.map((value, s) => Math.sqrt(value / Math.max(explained[s]!, 1e-9))), explained };
};

const lightSquares = (star: Found, at: Uint16Array, profile: Profile): number => {
  const { left, top, side } = cornerOf(star);
  let sum = 0;
  for (let j = 0; j < at.length; j++) {
    const v = Math.floor(at[j]! / side);
    sum += lightAt(profile, left + at[j]! - v * side, top + v) ** 2;
  }
  return sum;
};

/** Sum of the squares of what is left of a star's pixels that a level and a slope do not explain. */
const squaresAbovePlane = (star: Found, k: number, at: Uint16Array, taken: Float32Array, offset: number): number => {
  if (at.length < 3) return 0;
  const { pixels } = star;
  const from = firstPixel(star, k);
  const { left, top, side } = cornerOf(star);
  // About the middle of the pixels, so that level and slopes are nearly independent of one another.
  const mean = pixels[from + at[at.length >> 1]!]! - taken[offset + at[at.length >> 1]!]!;
  let [x, y, xx, xy, yy, v, vx, vy, vv] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let j = 0; j < at.length; j++) {
    const i = at[j]!;
    const row = Math.floor(i / side);
    const [dx, dy] = [left + i - row * side, top + row];
    const value = pixels[from + i]! - taken[offset + i]! - mean;
    x += dx;
    y += dy;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
    v += value;
    vx += value * dx;
    vy += value * dy;
    vv += value * value;
  }
  const n = at.length;
  const [a, b, c] = [xx - (x * x) / n, xy - (x * y) / n, yy - (y * y) / n];
  const [p, q] = [vx - (v * x) / n, vy - (v * y) / n];
  const determinant = a * c - b * b;
  const slopes = determinant > 1e-9 * a * c ? (p * p * c - 2 * p * q * b + q * q * a) / determinant : 0;
  return vv - (v * v) / n - slopes;
};
