import type { PlaneSource } from '../../plane/plane.ts';
import { samplesFor } from '../../plane/strips.ts';
import type { Picture } from './picture.ts';
import { mapPoint, type Similarity } from './similarity.ts';
import type { Tile } from './tiles.ts';

/** Pixels beyond a tile, so that features and shifts within it do not feel the edge of the piece. */
export const MARGIN = 24;
/** Pieces begin at multiples of this, so that they can be shrunk by 2 and 4 like the whole picture. */
const GRID = 4;
/** Pieces are read together where their rows are no more than so many times those of one. */
const TALLEST = 2;

/** A piece of a picture: where it begins and what it shows, NaN beyond the edge. */
export interface Cut {
  readonly left: number;
  readonly top: number;
  readonly picture: Picture;
}

/** Tiles that begin where pieces can be shrunk. */
export const evenTiles = (tiles: readonly Tile[]): Tile[] =>
  tiles.map(({ x, y, side }) => ({ x: x - (x % GRID), y: y - (y % GRID), side }));

/** Cuts pieces of a channel about where a map puts tiles of the reference. */
export const cutSeen = (channel: PlaneSource, tiles: readonly Tile[], map: Similarity): Promise<Cut[]> =>
  cutAll(
    channel,
    tiles.map((tile) => squareAbout(tile, map)),
  );

/** Cuts pieces about tiles, each with its margin. */
export const cutAbout = (source: PlaneSource, tiles: readonly Tile[]): Promise<Cut[]> =>
  cutAll(
    source,
    tiles.map(({ x, y, side }) => ({ x: x - MARGIN, y: y - MARGIN, side: side + 2 * MARGIN })),
  );

/** The square that a tile with its margin needs in the channel; a turned one needs more. */
const squareAbout = ({ x, y, side }: Tile, map: Similarity): Tile => {
  const half = (side - 1) / 2;
  const [u, v] = mapPoint(map, x + half, y + half);
  const reach = Math.ceil((half * (Math.abs(map.a) + Math.abs(map.b)) + MARGIN) / GRID) * GRID;
  const grid = (place: number) => Math.round((place - reach) / GRID) * GRID;
  return { x: grid(u), y: grid(v), side: 2 * reach };
};

/** Reads each row of neighbouring squares once. */
const cutAll = async (source: PlaneSource, squares: readonly Tile[]): Promise<Cut[]> => {
  const cuts: Cut[] = [];
  for (let i = 0; i < squares.length; ) {
    let n = i + 1;
    let [first, end] = [squares[i]!.y, squares[i]!.y + squares[i]!.side];
    for (; n < squares.length; n++) {
      const { y, side } = squares[n]!;
      const [from, to] = [Math.min(first, y), Math.max(end, y + side)];
      if (to - from > TALLEST * side) break;
      [first, end] = [from, to];
    }
    const band = await readBand(source, first, end);
    for (; i < n; i++) cuts.push(cut(source, band, squares[i]!));
  }
  return cuts;
};

interface Band {
  readonly top: number;
  readonly end: number;
  readonly data: ArrayLike<number>;
}

const readBand = async (source: PlaneSource, first: number, end: number): Promise<Band> => {
  const top = Math.min(source.height, Math.max(0, first));
  const bottom = Math.max(top, Math.min(source.height, end));
  const data = samplesFor(source, (bottom - top) * source.width);
  if (bottom > top) await source.readRows(top, bottom - top, data);
  return { top, end: bottom, data };
};

const cut = ({ width }: PlaneSource, { top, end, data }: Band, { x, y, side }: Tile): Cut => {
  const values = new Float32Array(side * side).fill(Number.NaN);
  const [from, to] = [Math.max(0, x), Math.min(width, x + side)];
  const rows = [Math.max(top, y), Math.min(end, y + side)] as const;
  // Less some value of the piece, so that float32 loses nothing to a pedestal.
  const pivot = finiteIn(data, rows, width, from, to);
  for (let row = rows[0]; row < rows[1]; row++)
    for (let column = from; column < to; column++)
      values[(row - y) * side + column - x] = data[(row - top) * width + column]! - pivot;
  return { left: x, top: y, picture: { width: side, height: side, values } };

  function finiteIn(
    all: ArrayLike<number>,
    [a, b]: readonly [number, number],
    w: number,
    l: number,
    r: number,
  ): number {
    for (let row = a; row < b; row++)
      for (let column = l; column < r; column++) {
        const v = all[(row - top) * w + column]!;
        if (v - v === 0) return v;
      }
    return 0;
  }
};
