import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { createScratch, type Scratch } from '../../plane/scratch.ts';
import { samplesFor } from '../../plane/strips.ts';
import { addLight, type LineLight } from '../model.ts';
import type { StarList } from '../star-list.ts';
import { type Candidate, candidatesOf, type StarTest, starTest, testReach } from './candidates.ts';
import { gaussReach } from './gauss.ts';
import { responsesOf, WIDER } from './responses.ts';
import { BLOCK, type FindTile, tileOf } from './tile.ts';

/** Rows of the frame whose stars are found at once, and columns of a tile. */
export const PIECE_ROWS = 8 * BLOCK;
const TILE_COLUMNS = 32 * BLOCK;
/** Stars of a tile whose shape may be looked at, and all that are saturated: more is cut out around them. */
const SHAPE_STARS = 40;

/** Half the side of what the shape of stars of a width is found from, in pixels. */
export const shapeRadius = (fwhm: number): number => Math.max(8, Math.round(3 * fwhm));

/** What finding stars depends on beside the pixels. Plain data. */
export interface Detecting {
  /** Width of the stars in pixels. */
  readonly fwhm: number;
  /** Noise of a pixel of each line. */
  readonly noise: readonly number[];
  /** From which value on pixels of each line are saturated. */
  readonly full: readonly (number | undefined)[];
  /** Half the side of what is cut out around each star. */
  readonly radius: number;
  /** Stars to be taken off first: those behind them are found. */
  readonly less?:
    | { readonly list: Pick<StarList, 'x' | 'y' | 'count'>; readonly light: readonly LineLight[] }
    | undefined;
}

/** A place that may be a star, with the pixels around it as the lines hold them. */
export interface Found {
  readonly x: number;
  readonly y: number;
  readonly snr: number;
  /** Half the side of the pixels around it, and the pixel in the middle. */
  readonly radius: number;
  readonly column: number;
  readonly row: number;
  /** Of each line, row by row; NaN where the frame ends or a line is undefined. */
  readonly pixels: Float32Array;
  /** Where those of the first line begin: many stars share an array. */
  readonly first: number;
}

/** Where the pixels of a line around a star begin. */
export const firstPixel = ({ first, radius }: Found, k: number): number => first + k * (2 * radius + 1) ** 2;

/** Rows of a piece, all that they depend on included. */
export const detectRows = (height: number, piece: number, fwhm: number) => {
  const around = haloOf(fwhm);
  const first = piece * PIECE_ROWS;
  const top = Math.max(0, first - around);
  const end = Math.min(height, first + PIECE_ROWS + around);
  return { top, rows: end - top, first, last: Math.min(height, first + PIECE_ROWS) };
};

/** What a tile has to know around its core: a block for the noise, and what smoothing takes in. */
const haloOf = (fwhm: number): number => {
  const filters = gaussReach((WIDER * fwhm) / 2.355);
  return BLOCK * Math.ceil(Math.max(BLOCK + filters, testReach(starTest(fwhm))) / BLOCK);
};

/** A finder of stars in the pieces of a frame; what it gives for a piece depends on nothing but the frame. */
export const createDetector = (sources: readonly PlaneSource[], detecting: Detecting) => {
  const { width, height } = sources[0]!;
  const test = starTest(detecting.fwhm);
  const around = haloOf(detecting.fwhm);
  const most = Math.min(height, PIECE_ROWS + 2 * around);
  const scratch = createScratch();
  const buffers: Samples[] = sources.map((source) => samplesFor(source, most * width));
  return async (piece: number): Promise<Found[]> => {
    const { top, rows, first, last } = detectRows(height, piece, detecting.fwhm);
    for (const [k, source] of sources.entries()) await source.readRows(top, rows, buffers[k]!);
    const lines = buffers.map((buffer) => buffer.subarray(0, rows * width));
    const found: Found[] = [];
    for (let x0 = 0; x0 < width; x0 += TILE_COLUMNS) {
      const x1 = Math.min(width, x0 + TILE_COLUMNS);
      const left = Math.max(0, x0 - around);
      const place = { left, width: Math.min(width, x1 + around) - left };
      const core = { x0: x0 - left, x1: x1 - left, y0: first - top, y1: last - top };
      found.push(...inTile(tileOf({ width, top, rows, lines }, place, core, scratch), detecting, test, scratch));
    }
    return found;
  };
};

const inTile = (tile: FindTile, detecting: Detecting, test: StarTest, scratch: Scratch): Found[] => {
  const { less, noise, fwhm } = detecting;
  const seen = less ? withoutStars(tile, less, scratch) : tile;
  let candidates = candidatesOf(seen, responsesOf(seen, fwhm / 2.355, scratch), test, noise);
  if (less) candidates = candidates.filter((candidate) => standsOut(tile, seen, candidate, noise));
  const byBrightness = candidates.map(({ snr }) => snr).sort((a, b) => b - a);
  const bright = byBrightness[SHAPE_STARS - 1] ?? 0;
  return candidates.map(({ column, row, x, y, snr }) => {
    const large = snr >= bright || isFull(tile, column, row, detecting);
    const radius = large ? Math.max(shapeRadius(fwhm), 2 * detecting.radius) : detecting.radius;
    const pixels = new Float32Array(tile.lines.length * (2 * radius + 1) ** 2).fill(Number.NaN);
    for (const k of tile.lines.keys()) putAround(pixels, tile, k, column, row, radius);
    return { x, y, snr, radius, column: tile.left + column, row: tile.top + row, pixels, first: 0 };
  });
};

const withoutStars = (tile: FindTile, { list, light }: NonNullable<Detecting['less']>, scratch: Scratch): FindTile => {
  const lines = tile.lines.map((line, k) => {
    const left = scratch.zeros(`left ${k}`, line.length);
    addLight(list, light[k]!, tile, left);
    for (let i = 0; i < left.length; i++) left[i] = line[i]! - left[i]!;
    return left;
  });
  return { ...tile, lines };
};

/** What is left of a star is that star's fault, unless it is more than this part of what was taken off around it. */
const LEAST_OF_TAKEN = 0.1;

const standsOut = (tile: FindTile, seen: FindTile, { column, row, snr }: Candidate, noise: readonly number[]) => {
  let most = 0;
  for (let y = row - 2; y <= row + 2; y++)
    for (let x = column - 2; x <= column + 2; x++) {
      let taken = 0;
      for (const [k, line] of tile.lines.entries()) {
        const i = y * tile.width + x;
        taken += (line[i]! - seen.lines[k]![i]!) / noise[k]!;
      }
      if (taken > most) most = taken;
    }
  return snr > (LEAST_OF_TAKEN * most) / Math.sqrt(tile.lines.length);
};

const isFull = (
  { lines, width, height }: FindTile,
  column: number,
  row: number,
  { full, radius }: Detecting,
): boolean =>
  lines.some((line, k) => {
    const limit = full[k];
    if (limit === undefined) return false;
    for (let y = Math.max(0, row - radius); y <= Math.min(height - 1, row + radius); y++)
      for (let x = Math.max(0, column - radius); x <= Math.min(width - 1, column + radius); x++)
        if (line[y * width + x]! >= limit) return true;
    return false;
  });

const putAround = (
  pixels: Float32Array,
  { lines, defined, width, height }: FindTile,
  k: number,
  column: number,
  row: number,
  radius: number,
): void => {
  const side = 2 * radius + 1;
  for (let v = 0; v < side; v++)
    for (let u = 0; u < side; u++) {
      const [x, y] = [column - radius + u, row - radius + v];
      if (x < 0 || y < 0 || x >= width || y >= height) continue;
      const i = y * width + x;
      if (defined[i] === 1) pixels[(k * side + v) * side + u] = lines[k]![i]!;
    }
};
