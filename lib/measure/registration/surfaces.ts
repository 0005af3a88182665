import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import type { Feature } from './features.ts';
import { correlateTiles, type TileSpectra } from './tile-spectra.ts';
import type { Tile } from './tiles.ts';

/** How alike a tile and the other picture are, by the shift between them. */
export interface Surface {
  /** Centre of the tile. */
  readonly x: number;
  readonly y: number;
  /** Pixels from one shift to the next. */
  readonly step: number;
  /** Side of the square of shifts: an odd number, no shift in the middle. */
  readonly side: number;
  /** Rows of values in robust standard deviations about their median, bounded by ±8. */
  readonly values: Float32Array;
}

/** Tiles from this side on are compared at every second shift: there are enough of them, and time matters. */
const LARGE = 32;
/** One tile cannot say more than this. */
const MOST = 8;
/** Less common ground than this share of a tile tells nothing. */
const LEAST_OVERLAP = 0.3;

/**
 * Correlates each tile of one picture with a window twice as wide of the other, over shifts of up to half a tile.
 * Each product is normalised by the energies of what lies under the mask on both sides (D. Padfield, Masked object
 * registration in the Fourier domain, IEEE Trans. Image Processing 21(5) 2706–2718, 2012); that of the tile is taken as
 * evenly spread, which spares a transform. Tiles without any structure are left out.
 */
export const tileSurfaces = (tiles: TileSpectra, b: Feature): Surface[] => {
  const { side } = tiles;
  const sums = createSums(2 * side);
  const lags = side + 1;
  const all = new Float32Array(lags * lags);
  const surfaces: Surface[] = [];
  const window = (tile: Tile, into: Float64Array) => cutWindow(b, tile, into);
  correlateTiles(tiles, window, ({ tile, energy }, correlation) => {
    sumWindow(b, tile, sums);
    normalise(correlation, sums, energy, side, all);
    const surface = surfaceOf(all, tile);
    if (surface) surfaces.push(surface);
  });
  return surfaces;
};

const surfaceOf = (all: Float32Array, { x, y, side }: Tile): Surface | undefined => {
  const step = side >= LARGE ? 2 : 1;
  const values = step === 1 ? all.slice() : pooled(all, side + 1, step);
  if (!standardize(values)) return undefined;
  const half = (side - 1) / 2;
  return { x: x + half, y: y + half, step, side: Math.sqrt(values.length), values };
};

/** Sums over all pixels of a window above and to the left, one row and column of zeros first. */
interface Sums {
  readonly squares: Float64Array;
  readonly cover: Float64Array;
}

const createSums = (n: number): Sums => {
  const sums = () => new Float64Array((n + 1) * (n + 1));
  return { squares: sums(), cover: sums() };
};

/** The square about a tile, twice as wide; 0 beyond the picture. */
const cutWindow = ({ width, height, values }: Feature, { x, y, side }: Tile, into: Float64Array): void => {
  const n = 2 * side;
  const [left, top] = [x - side / 2, y - side / 2];
  const [from, to] = [Math.max(0, -left), Math.min(n, width - left)];
  into.fill(0);
  for (let v = Math.max(0, -top); v < Math.min(n, height - top); v++) {
    const row = (top + v) * width + left;
    for (let u = from; u < to; u++) into[v * n + u] = values[row + u]!;
  }
};

const sumWindow = ({ width, height, values, known }: Feature, tile: Tile, { squares, cover }: Sums): void => {
  const n = 2 * tile.side;
  const [left, top] = [tile.x - tile.side / 2, tile.y - tile.side / 2];
  for (let v = 0; v < n; v++) {
    const row = (top + v) * width + left;
    const there = top + v >= 0 && top + v < height;
    const [from, to] = there ? [Math.max(0, -left), Math.min(n, width - left)] : [n, n];
    let energyOfRow = 0;
    let countOfRow = 0;
    for (let u = 0, sum = (v + 1) * (n + 1) + 1; u < n; u++, sum++) {
      if (u >= from && u < to) {
        const value = values[row + u]!;
        energyOfRow += value * value;
        countOfRow += known[row + u]!;
      }
      squares[sum] = squares[sum - n - 1]! + energyOfRow;
      cover[sum] = cover[sum - n - 1]! + countOfRow;
    }
  }
};

/** The correlation at each shift of up to half a tile over the energies there, row by row. */
const normalise = (
  correlation: Float64Array,
  { squares, cover }: Sums,
  energy: number,
  side: number,
  into: Float32Array,
): void => {
  const n = 2 * side;
  const below = side * (n + 1);
  for (let v = 0, i = 0; v <= side; v++) {
    const row = ((v - side / 2 + n) & (n - 1)) * n;
    for (let u = 0; u <= side; u++, i++) {
      // The corners of the square of tile size that begins at (u, v).
      const p = v * (n + 1) + u;
      const q = p + side;
      const share = (cover[q + below]! - cover[p + below]! - cover[q]! + cover[p]!) / (side * side);
      const other = squares[q + below]! - squares[p + below]! - squares[q]! + squares[p]!;
      const value = correlation[row + ((u - side / 2 + n) & (n - 1))]!;
      into[i] = share < LEAST_OVERLAP || !(other > 1e-6) ? 0 : value / Math.sqrt(energy * share * other);
    }
  }
};

/** Every second shift, each the mean of its neighbours by 1 2 1. */
const pooled = (all: Float32Array, lags: number, step: number): Float32Array => {
  const middle = (lags - 1) / 2;
  const reach = Math.floor((middle - 1) / step);
  const side = 2 * reach + 1;
  const values = new Float32Array(side * side);
  for (let j = -reach, i = 0; j <= reach; j++)
    for (let k = -reach; k <= reach; k++, i++) {
      const at = (middle + step * j) * lags + middle + step * k;
      const above = at - lags;
      const below = at + lags;
      const edges = all[above]! + all[at - 1]! + all[at + 1]! + all[below]!;
      const corners = all[above - 1]! + all[above + 1]! + all[below - 1]! + all[below + 1]!;
      values[i] = (4 * all[at]! + 2 * edges + corners) / 16;
    }
  return values;
};

/** About the median, in robust standard deviations. @returns false where all values are alike */
const standardize = (values: Float32Array): boolean => {
  const middle = values.length >> 1;
  const sorted = values.slice().sort();
  const median = sorted[middle]!;
  for (let i = 0; i < sorted.length; i++) sorted[i] = Math.abs(sorted[i]! - median);
  const deviation = MAD_TO_SIGMA * sorted.sort()[middle]!;
  if (!(deviation > 0)) return false;
  const scale = 1 / Math.max(deviation, 1e-3);
  for (let i = 0; i < values.length; i++) values[i] = Math.max(-MOST, Math.min(MOST, (values[i]! - median) * scale));
  return true;
};
