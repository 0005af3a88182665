import { MAD_TO_SIGMA } from '../../plane/robust.ts';
import type { Feature } from './features.ts';
import { createFourier, type Fourier, forward, inverse } from './fft.ts';
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
export const tileSurfaces = (a: Feature, b: Feature, tiles: readonly Tile[]): Surface[] => {
  const side = tiles[0]?.side ?? 0;
  if (side === 0) return [];
  const room = createRoom(2 * side);
  return tiles.flatMap((tile) => surfaceOf(a, b, tile, room) ?? []);
};

interface Room {
  readonly fourier: Fourier;
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** Sums over all pixels above and to the left, one row and column of zeros first. */
  readonly squares: Float64Array;
  readonly cover: Float64Array;
}

const createRoom = (n: number): Room => {
  const square = () => new Float64Array(n * n);
  const sums = () => new Float64Array((n + 1) * (n + 1));
  return { fourier: createFourier(n), re: square(), im: square(), squares: sums(), cover: sums() };
};

const surfaceOf = (a: Feature, b: Feature, tile: Tile, room: Room): Surface | undefined => {
  const { side } = tile;
  const { re, fourier } = room;
  const energy = fill(a, b, tile, room);
  if (!(energy > 0)) return undefined;
  forward(fourier, re, room.im);
  multiply(room);
  inverse(fourier, re, room.im);
  const reach = side / 2;
  const lags = 2 * reach + 1;
  const all = new Float32Array(lags * lags);
  for (let j = -reach, i = 0; j <= reach; j++)
    for (let k = -reach; k <= reach; k++, i++) all[i] = correlationAt(room, energy, side, k, j);
  const step = side >= LARGE ? 2 : 1;
  const values = step === 1 ? all : pooled(all, lags, step);
  if (!standardize(values)) return undefined;
  const half = (side - 1) / 2;
  return { x: tile.x + half, y: tile.y + half, step, side: Math.sqrt(values.length), values };
};

/** Puts the tile into the real part and the window about it into the imaginary one. @returns the tile's energy */
const fill = (a: Feature, b: Feature, { x, y, side }: Tile, { re, im, squares, cover }: Room): number => {
  const n = 2 * side;
  re.fill(0);
  let energy = 0;
  for (let v = 0; v < side; v++)
    for (let u = 0; u < side; u++) {
      const value = x + u < a.width && y + v < a.height ? a.values[(y + v) * a.width + x + u]! : 0;
      re[(v + side / 2) * n + u + side / 2] = value;
      energy += value * value;
    }
  for (let v = 0, i = 0; v < n; v++) {
    const row = y - side / 2 + v;
    let [energyOfRow, countOfRow] = [0, 0];
    for (let u = 0; u < n; u++, i++) {
      const column = x - side / 2 + u;
      const inside = row >= 0 && row < b.height && column >= 0 && column < b.width;
      const at = row * b.width + column;
      const value = inside ? b.values[at]! : 0;
      im[i] = value;
      energyOfRow += value * value;
      countOfRow += inside ? b.known[at]! : 0;
      const sum = (v + 1) * (n + 1) + u + 1;
      squares[sum] = squares[sum - n - 1]! + energyOfRow;
      cover[sum] = cover[sum - n - 1]! + countOfRow;
    }
  }
  return energy;
};

/** Two real pictures were transformed as one complex one; leaves the spectrum of their correlation. */
const multiply = ({ fourier: { size: n }, re, im }: Room): void => {
  for (let v = 0; v < n; v++)
    for (let u = 0; u < n; u++) {
      const k = v * n + u;
      const mirror = ((n - v) & (n - 1)) * n + ((n - u) & (n - 1));
      if (mirror < k) continue;
      const aRe = re[k]! + re[mirror]!;
      const aIm = im[k]! - im[mirror]!;
      const bRe = im[k]! + im[mirror]!;
      const bIm = re[mirror]! - re[k]!;
      // Each is twice the spectrum, and the inverse lacks its 1/n².
      const scale = 1 / (4 * n * n);
      const crossRe = scale * (aRe * bRe + aIm * bIm);
      const crossIm = scale * (aRe * bIm - aIm * bRe);
      re[k] = crossRe;
      im[k] = crossIm;
      re[mirror] = crossRe;
      im[mirror] = -crossIm;
    }
};

/** Sum over the square of `side` pixels from (u, v) on. */
const sumOver = (sums: Float64Array, n: number, side: number, u: number, v: number): number => {
  const top = v * (n + 1) + u;
  const bottom = (v + side) * (n + 1) + u;
  return sums[bottom + side]! - sums[bottom]! - sums[top + side]! + sums[top]!;
};

const correlationAt = (room: Room, energy: number, side: number, dx: number, dy: number): number => {
  const n = 2 * side;
  const [u, v] = [side / 2 + dx, side / 2 + dy];
  const share = sumOver(room.cover, n, side, u, v) / (side * side);
  const other = sumOver(room.squares, n, side, u, v);
  if (share < LEAST_OVERLAP || !(other > 1e-6)) return 0;
  const value = room.re[((dy + n) & (n - 1)) * n + ((dx + n) & (n - 1))]!;
  return value / Math.sqrt(energy * share * other);
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
      const row = (c: number) => all[c - 1]! + 2 * all[c]! + all[c + 1]!;
      values[i] = (row(at - lags) + 2 * row(at) + row(at + lags)) / 16;
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
