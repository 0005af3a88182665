import type { Samples } from '../plane/plane.ts';
import { halvingsBefore, reachOfScales, wholeScales } from './noise-model.ts';

/** Most columns that a tile computes, beside what it reads on both sides. */
const TILE_COLUMNS = 2048;

/** Rows of a frame, as far as they are in memory. */
export interface FrameRows {
  /** Size of the frame. */
  readonly width: number;
  readonly height: number;
  /** The first row that is in memory, and how many are. */
  readonly top: number;
  readonly rows: number;
  /** The values of each member of a group, row by row; NaN and ±Infinity are undefined. */
  readonly members: readonly Samples[];
}

/** A part of a frame that is computed at once: pixels [left, left + width) × [top, top + height). */
export interface Tile {
  /** Kept pixels of all scales lie at multiples of one number in the frame: left and top are multiples of it. */
  readonly left: number;
  readonly top: number;
  /** May reach beyond the frame, where nothing is defined. */
  readonly width: number;
  readonly height: number;
  /** The columns that it is computed for. */
  readonly from: number;
  readonly to: number;
}

/** The distance of the pixels that the last scale keeps. */
const anchorOf = (scales: number): number => 1 << halvingsBefore(Math.max(1, wholeScales(scales)) - 1);

const floorTo = (value: number, unit: number): number => Math.floor(value / unit) * unit;
const ceilTo = (value: number, unit: number): number => Math.ceil(value / unit) * unit;

/** The rows of a frame that computing rows [y, y + rows) needs. */
export const rowsNeeded = (height: number, y: number, rows: number, scales: number) => {
  const [reach, anchor] = [reachOfScales(scales), anchorOf(scales)];
  const top = floorTo(Math.max(0, y - reach), anchor);
  // A few rows more: a tile that ends between them would have to be masked.
  return { top, rows: Math.min(height, top + ceilTo(y + rows + reach - top, anchor)) - top };
};

/** The tiles that rows of a frame are computed in, all of one size. */
export const tilesOver = ({ width, top, rows }: FrameRows, scales: number): Tile[] => {
  const [reach, anchor] = [reachOfScales(scales), anchorOf(scales)];
  // Planes are as wide as eight values at a time need them, halved ones too.
  const unit = 8 * anchor;
  const whole = ceilTo(width, unit);
  const columns = ceilTo(width / Math.ceil(width / TILE_COLUMNS), unit);
  // One that starts up to a unit before what it needs.
  const size = { top, width: Math.min(whole, ceilTo(columns + 2 * reach, unit) + unit), height: ceilTo(rows, anchor) };
  const tiles: Tile[] = [];
  for (let from = 0; from < width; from += columns) {
    const left = Math.min(whole - size.width, floorTo(Math.max(0, from - reach), unit));
    tiles.push({ ...size, left, from, to: Math.min(width, from + columns) });
  }
  return tiles;
};

/** Whether a tile touches the border of the frame, or reaches beyond it. */
export const atBorder = ({ left, top, width, height }: Tile, frame: FrameRows): boolean =>
  left === 0 || top === 0 || left + width >= frame.width || top + height >= frame.height;
