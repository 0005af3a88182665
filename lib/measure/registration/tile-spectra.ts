import type { Feature } from './features.ts';
import { createFourier, type Fourier, forward, inverse } from './fft.ts';
import type { Tile } from './tiles.ts';

/** A tile and what it holds. */
export interface Held {
  readonly tile: Tile;
  /** Sum of its squares, above 0. */
  readonly energy: number;
}

/** Two tiles and their transforms: that of the first plus i times that of the second, none where there is no second. */
interface Couple {
  readonly first: Held;
  readonly second: Held | undefined;
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/** Tiles of a reference, transformed once for all that is compared with it. */
export interface TileSpectra {
  /** Side of a tile; 0 where there is none. */
  readonly side: number;
  readonly couples: readonly Couple[];
  readonly fourier: Fourier;
  /** Room for one transform. */
  readonly re: Float64Array;
  readonly im: Float64Array;
}

/**
 * Transforms tiles of one size, each in the middle of a square twice as wide, two real ones as one complex one. Tiles
 * without any structure are left out.
 * @param tiles squares whose side is a power of two
 */
export const tileSpectra = (a: Feature, tiles: readonly Tile[]): TileSpectra => {
  const side = tiles[0]?.side ?? 0;
  const n = Math.max(2, 2 * side);
  const room = () => new Float64Array(n * n);
  const fourier = createFourier(n);
  const held = tiles.flatMap((tile): Held[] => {
    const energy = energyOf(a, tile);
    return energy > 0 ? [{ tile, energy }] : [];
  });
  const couples: Couple[] = [];
  for (let i = 0; i < held.length; i += 2) {
    const couple = { first: held[i]!, second: held[i + 1], re: room(), im: room() };
    fill(a, couple.first.tile, couple.re);
    if (couple.second) fill(a, couple.second.tile, couple.im);
    forward(fourier, couple.re, couple.im);
    couples.push(couple);
  }
  return { side, couples, fourier, re: room(), im: room() };
};

const energyOf = ({ width, height, values }: Feature, { x, y, side }: Tile): number => {
  let energy = 0;
  for (let v = y; v < Math.min(height, y + side); v++)
    for (let i = v * width + x; i < v * width + Math.min(width, x + side); i++) energy += values[i]! * values[i]!;
  return energy;
};

const fill = ({ width, height, values }: Feature, { x, y, side }: Tile, into: Float64Array): void => {
  const columns = Math.min(width, x + side) - x;
  for (let v = 0; v < Math.min(height, y + side) - y; v++) {
    const to = (v + side / 2) * 2 * side + side / 2;
    const from = (y + v) * width + x;
    for (let u = 0; u < columns; u++) into[to + u] = values[from + u]!;
  }
};

/**
 * Correlates each tile with a window twice as wide about the same place of another picture.
 * @param window writes the window about a tile into a square
 * @param use is given each tile and its correlation in turn, Σ tile(p)·window(p + lag) at lag modulo the square's side;
 * the array is used again for the next tile
 */
export const correlateTiles = (
  { couples, fourier, re, im }: TileSpectra,
  window: (tile: Tile, into: Float64Array) => void,
  use: (held: Held, correlation: Float64Array) => void,
): void => {
  for (const couple of couples) {
    const { first, second } = couple;
    window(first.tile, re);
    if (second) window(second.tile, im);
    else im.fill(0);
    forward(fourier, re, im);
    multiply(fourier.size, couple, re, im);
    inverse(fourier, re, im);
    use(first, re);
    if (second) use(second, im);
  }
};

/**
 * Takes both pairs of real pictures apart, A = (Z(k) + conj Z(−k))/2 and B = (Z(k) − conj Z(−k))/2i, and leaves the
 * spectrum of the first correlation plus i times that of the second in the place of the windows.
 */
const multiply = (n: number, a: Couple, re: Float64Array, im: Float64Array): void => {
  // Each part is twice its spectrum, and the inverse lacks its 1/n².
  const scale = 1 / (4 * n * n);
  const [aRe, aIm] = [a.re, a.im];
  for (let v = 0; v < n; v++) {
    const opposite = ((n - v) & (n - 1)) * n;
    for (let u = 0; u < n; u++) {
      const k = v * n + u;
      const m = opposite + ((n - u) & (n - 1));
      if (m < k) continue;
      const a1Re = scale * (aRe[k]! + aRe[m]!);
      const a1Im = scale * (aIm[k]! - aIm[m]!);
      const a2Re = scale * (aIm[k]! + aIm[m]!);
      const a2Im = scale * (aRe[m]! - aRe[k]!);
      const b1Re = re[k]! + re[m]!;
      const b1Im = im[k]! - im[m]!;
      const b2Re = im[k]! + im[m]!;
      const b2Im = re[m]! - re[k]!;
      const p1Re = a1Re * b1Re + a1Im * b1Im;
      const p1Im = a1Re * b1Im - a1Im * b1Re;
      const p2Re = a2Re * b2Re + a2Im * b2Im;
      const p2Im = a2Re * b2Im - a2Im * b2Re;
      re[k] = p1Re - p2Im;
      im[k] = p1Im + p2Re;
      re[m] = p1Re + p2Im;
      im[m] = p2Re - p1Im;
    }
  }
};
