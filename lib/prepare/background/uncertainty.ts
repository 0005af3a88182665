import { type BlockPlaces, dilated, eachNeighbour } from './block-places.ts';
import type { Marks, Reject, RobustFit, RobustFitter } from './robust-fit.ts';
import type { SurfacePoint } from './surface.ts';

/** Cells in each direction that are left out one after the other, and steps around them that are left out as well. */
const CELLS = 5;
const BUFFER = 1;
/** Places in each direction at which surfaces are compared. */
const PLACES = 16;

/** Cells of blocks that a jackknife leaves out, the same for every order. */
export interface Cells {
  /** For each cell that holds blocks: those that are left, 1, when it and its rim are left out. */
  readonly rests: readonly Marks[];
}

/** More blocks than this add time, not certainty: every other one is then left out of all fits, as on a chessboard. */
const MOST_BLOCKS = 1200;

/** 5 × 5 cells over the extent of the blocks of `start`. */
export const jackknifeCells = (places: BlockPlaces, start: Marks): Cells => {
  const { column, row } = places;
  const [c, r] = [cellOf(column, start), cellOf(row, start)];
  const cells = Array.from({ length: CELLS * CELLS }, () => new Uint8Array(start.length));
  for (let k = 0; k < start.length; k++) if (start[k] === 1) cells[r(row[k]!) * CELLS + c(column[k]!)]![k] = 1;
  const filled = cells.filter((cell) => cell.includes(1));
  const many = start.reduce((a, b) => a + b, 0) > MOST_BLOCKS;
  const taken = start.map((is, k) => (is === 1 && !(many && (column[k]! + row[k]!) % 2 === 1) ? 1 : 0));
  return { rests: filled.map((cell) => dilated(places, cell, BUFFER).map((out, k) => (out === 1 ? 0 : taken[k]!))) };
};

const cellOf = (positions: Int32Array, start: Marks): ((position: number) => number) => {
  const chosen = positions.filter((_, k) => start[k] === 1);
  const low = chosen.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = chosen.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  return (position) => Math.floor(((position - low) * CELLS) / (high - low + 1));
};

/**
 * Standard error of a fitted surface of mean 0 over the frame, root mean square over the frame, in units of the values:
 * the jackknife of blocks of neighbours, σ² = (n − 1)/n · Σ(Sᵢ − S̄)² over the surfaces Sᵢ fitted without the i-th cell
 * (M. H. Quenouille, Biometrika 43:353, 1956; blocks of dependent data: H. R. Künsch, Annals of Statistics 17:1217, 1989).
 * Infinite where fewer than two cells leave enough blocks for a fit.
 */
export const jackknife = (fitter: RobustFitter, { rests }: Cells, reject: Reject): number => {
  const enough = rests.filter((rest) => rest.reduce((a, b) => a + b, 0) >= 2 * fitter.terms);
  const n = enough.length;
  if (n < 2) return Number.POSITIVE_INFINITY;
  const surfaces = enough.map((rest) => heightsOf(fitter.fit(rest, reject)));
  let total = 0;
  for (let p = 0; p < PLACES ** 2; p++) {
    const mean = surfaces.reduce((sum, heights) => sum + heights[p]!, 0) / n;
    total += surfaces.reduce((sum, heights) => sum + (heights[p]! - mean) ** 2, 0);
  }
  return Math.sqrt((((n - 1) / n) * total) / PLACES ** 2);
};

/** Heights over the frame, less their mean. */
const heightsOf = (fit: RobustFit): Float64Array => {
  const heights = new Float64Array(PLACES ** 2);
  const position = (place: number) => (2 * place + 1) / PLACES - 1;
  for (let r = 0; r < PLACES; r++)
    for (let c = 0; c < PLACES; c++) heights[r * PLACES + c] = fit.at(position(c), position(r));
  const mean = heights.reduce((a, b) => a + b, 0) / heights.length;
  return heights.map((height) => height - mean);
};

/** Root mean square over the frame of what a surface of mean 0 takes off. */
export const reachOf = (fit: RobustFit): number => {
  const heights = heightsOf(fit);
  return Math.sqrt(heights.reduce((sum, height) => sum + height * height, 0) / heights.length);
};

/**
 * How far the residuals of the blocks used vary together with those of their neighbours: the root of their mean product,
 * 0 where it is negative. Noise of blocks is independent and gives nothing. (The numerator of P. A. P. Moran's I, Biometrika
 * 37:17, 1950, in units of the values.)
 */
export const correlatedScatter = (
  points: readonly SurfacePoint[],
  places: BlockPlaces,
  { used, at }: RobustFit,
): number => {
  const residuals = Float64Array.from(points, ({ u, v, value }, k) => (used[k] === 1 ? value - at(u, v) : 0));
  const count = used.reduce((a, b) => a + b, 0);
  const mean = residuals.reduce((a, b) => a + b, 0) / count;
  let products = 0;
  let pairs = 0;
  for (let k = 0; k < residuals.length; k++)
    if (used[k] === 1)
      eachNeighbour(places, k, (other) => {
        if (used[other] !== 1) return;
        products += (residuals[k]! - mean) * (residuals[other]! - mean);
        pairs++;
      });
  return pairs === 0 ? 0 : Math.sqrt(Math.max(0, products / pairs));
};
