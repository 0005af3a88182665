import type { PlaneSource } from '../../plane/plane.ts';
import { type CheckSizes, SQUARES, squaresSize, tilesSize } from '../sizes.ts';
import { binRows } from './bin.ts';
import { pointSpread } from './point-light.ts';
import { findPoints, type PointFound } from './points.ts';
import { type LineRows, MARGIN, readPiece } from './rows.ts';
import { type SquareNoise, squareNoise, tileNoise } from './square-noise.ts';
import { columnSums, rowSums, type StretchSums, type Tiles } from './stretches.ts';

/** What one look at some rows of a line keeps of them. */
export interface LineLook {
  readonly binned: Float32Array;
  readonly squares: SquareNoise;
  /** Spread of the light of points in tiles. */
  readonly spread: Float32Array;
  readonly columns: StretchSums & { readonly first: number };
  readonly rows: StretchSums;
}

/** What one look at some rows of all lines keeps of them. */
export interface PieceLook {
  readonly lines: readonly LineLook[];
  readonly points: readonly PointFound[];
}

/** Looks at all lines, some rows at a time; answers do not depend on their order. */
export const createLooker = (sources: readonly PlaneSource[], sizes: CheckSizes) => {
  const buffers = sources.map(() => new Float32Array((sizes.rows + 2 * MARGIN) * sizes.width));
  return async (piece: number): Promise<PieceLook> => {
    const rows: LineRows[] = [];
    for (const [k, source] of sources.entries()) rows.push(await readPiece(source, sizes, piece, buffers[k]!));
    const looks = rows.map((of) => lookAt(of, sizes));
    return {
      lines: looks.map(({ look }) => look),
      points: findPoints(
        rows,
        looks.map(({ noises }) => noises),
        sizes,
      ),
    };
  };
};

const lookAt = (rows: LineRows, sizes: CheckSizes) => {
  const squares = squareNoise(rows, sizes);
  const across = tilesSize(sizes).width;
  const down = Math.ceil(Math.floor((rows.bottom - rows.top) / sizes.square) / SQUARES);
  const tiles = (values: Float32Array): Tiles => ({
    across,
    values: down > 0 ? values : new Float32Array(across).fill(Number.NaN),
  });
  const noise = tiles(tileNoise(squares, squaresSize(sizes).width));
  const spread = pointSpread(rows, sizes, across, down);
  const look: LineLook = {
    binned: binRows(rows, sizes),
    squares,
    spread,
    columns: columnSums(rows, sizes, noise),
    rows: rowSums(rows, sizes, noise),
  };
  return { look, noises: { noise, spread: tiles(spread) } };
};
