import { lightAt, profileOf, roundShape } from '../shape.ts';
import { gaussKernel, gaussReach } from './gauss.ts';
import type { Responses } from './responses.ts';
import { WIDER } from './responses.ts';
import type { FindTile } from './tile.ts';

/** A pixel stands out from here on, in units of the noise … */
export const LEAST_SNR = 5;
/** … and in each of two lines at least so far. */
const LEAST_IN_LINE = 2;
/** A star curves at least so much across as along; a filament does not. */
const ROUNDEST = 0.35;
/** A star seen twice as coarsely stands out at most so many times as much as a point would: others are knots. */
const LARGEST = 2;
/** So many pixels around a star are defined. */
export const MARGIN = 2;

/** A place of a tile that may be a star: its pixel, its place between pixels, and how far it stands out; float32 numbers. */
export interface Candidate {
  readonly column: number;
  readonly row: number;
  readonly x: number;
  readonly y: number;
  readonly snr: number;
}

/** What stars of one width look like. */
export interface StarTest {
  readonly narrow: Float32Array;
  readonly wide: Float32Array;
  readonly coarse: Float32Array;
  readonly widest: Float32Array;
  /** The same ratio for a point. */
  readonly point: number;
}

export const starTest = (fwhm: number): StarTest => {
  const deviation = fwhm / 2.355;
  const kernel = (times: number) => gaussKernel(times * deviation);
  const kernels = { narrow: kernel(1), wide: kernel(WIDER), coarse: kernel(2), widest: kernel(2 * WIDER) };
  const reach = gaussReach(2 * WIDER * deviation);
  const profile = profileOf(roundShape(fwhm), 2 * reach);
  const side = 2 * reach + 1;
  const values = Float64Array.from({ length: side * side }, (_, i) =>
    lightAt(profile, (i % side) - reach, Math.floor(i / side) - reach),
  );
  return { ...kernels, point: coarseness(kernels, { values, radius: reach }) };
};

/** Pixels on each side that testing a candidate takes in. */
export const testReach = ({ widest }: Pick<StarTest, 'widest'>): number => widest.length;

/** The local maxima of the responses in a tile's core that look like stars, row by row. @param noise of a pixel of each line */
export const candidatesOf = (
  tile: FindTile,
  responses: Responses,
  test: StarTest,
  noise: readonly number[],
): Candidate[] => {
  const { width, core } = tile;
  const { all } = responses;
  const needed = Math.min(2, tile.lines.length);
  const found: Candidate[] = [];
  for (let y = Math.max(core.y0, MARGIN); y < Math.min(core.y1, tile.height - MARGIN); y++)
    for (let x = Math.max(core.x0, MARGIN); x < Math.min(core.x1, width - MARGIN); x++) {
      const i = y * width + x;
      if (!(all[i]! > LEAST_SNR) || !isPeak(all, i, width)) continue;
      let lines = 0;
      for (const line of responses.lines) if (line[i]! > LEAST_IN_LINE) lines++;
      if (lines < needed || !definedAround(tile, x, y) || !looksRound(tile, x, y, test, noise)) continue;
      found.push({
        column: x,
        row: y,
        x: Math.fround(tile.left + x + vertex(all[i - 1]!, all[i]!, all[i + 1]!)),
        y: Math.fround(tile.top + y + vertex(all[i - width]!, all[i]!, all[i + width]!)),
        snr: all[i]!,
      });
    }
  return found;
};

/** Above what comes before it, and not below what comes after: one of equal neighbours. */
const isPeak = (all: Float32Array, i: number, width: number): boolean => {
  const value = all[i]!;
  return (
    value > all[i - width - 1]! &&
    value > all[i - width]! &&
    value > all[i - width + 1]! &&
    value > all[i - 1]! &&
    value >= all[i + 1]! &&
    value >= all[i + width - 1]! &&
    value >= all[i + width]! &&
    value >= all[i + width + 1]!
  );
};

const definedAround = ({ defined, width }: FindTile, x: number, y: number): boolean => {
  for (let v = y - MARGIN; v <= y + MARGIN; v++)
    for (let u = x - MARGIN; u <= x + MARGIN; u++) if (defined[v * width + u] !== 1) return false;
  return true;
};

/** Where a parabola through three values is highest, at most .6 pixels from the middle one. */
const vertex = (a: number, b: number, c: number): number => {
  const bend = a - 2 * b + c;
  return bend < 0 ? Math.max(-0.6, Math.min(0.6, (0.5 * (a - c)) / bend)) : 0;
};

/** All lines together around a place, each in units of its noise; row by row. */
interface Patch {
  readonly values: Float64Array;
  /** Half its side. */
  readonly radius: number;
}

/** Looks at all lines together: whether a place bends down all around, and is as small as a star. */
const looksRound = (tile: FindTile, x: number, y: number, test: StarTest, noise: readonly number[]): boolean => {
  const near = patchAt(tile, x, y, test.narrow.length, noise);
  const at = (dx: number, dy: number) => weighted(near, test.narrow, dx, dy);
  const middle = at(0, 0);
  const xx = at(1, 0) + at(-1, 0) - 2 * middle;
  const yy = at(0, 1) + at(0, -1) - 2 * middle;
  const xy = (at(1, 1) + at(-1, -1) - at(1, -1) - at(-1, 1)) / 4;
  const half = Math.sqrt((xx - yy) ** 2 / 4 + xy * xy);
  const [strong, weak] = [(xx + yy) / 2 - half, (xx + yy) / 2 + half];
  if (!(strong < 0 && weak / strong > ROUNDEST)) return false;
  return coarseness(test, patchAt(tile, x, y, test.widest.length - 1, noise)) < LARGEST * test.point;
};

/** The border of a tile is repeated outwards. */
const patchAt = (
  { lines, width, height }: FindTile,
  x: number,
  y: number,
  radius: number,
  noise: readonly number[],
): Patch => {
  const side = 2 * radius + 1;
  const values = new Float64Array(side * side);
  for (let k = 0; k < lines.length; k++) {
    const line = lines[k]!;
    const unit = 1 / noise[k]!;
    for (let v = 0; v < side; v++) {
      const row = Math.max(0, Math.min(height - 1, y + v - radius)) * width;
      for (let u = 0; u < side; u++)
        values[v * side + u]! += unit * line[row + Math.max(0, Math.min(width - 1, x + u - radius))]!;
    }
  }
  return { values, radius };
};

/** How far a place stands out when seen twice as coarsely, over how far it does as it is. */
const coarseness = ({ narrow, wide, coarse, widest }: Omit<StarTest, 'point'>, patch: Patch): number => {
  const fine = weighted(patch, narrow) - weighted(patch, wide);
  return (weighted(patch, coarse) - weighted(patch, widest)) / Math.max(fine, 1e-9);
};

/** The value of a patch smoothed by a kernel, at a place from its middle. */
const weighted = ({ values, radius }: Patch, kernel: Float32Array, dx = 0, dy = 0): number => {
  const side = 2 * radius + 1;
  const middle = (radius + dy) * side + radius + dx;
  let sum = 0;
  for (let v = 1 - kernel.length; v < kernel.length; v++) {
    const at = middle + v * side;
    let row = kernel[0]! * values[at]!;
    for (let u = 1; u < kernel.length; u++) row += kernel[u]! * (values[at - u]! + values[at + u]!);
    sum += kernel[v < 0 ? -v : v]! * row;
  }
  return sum;
};
