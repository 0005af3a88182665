import type { Feature } from './features.ts';
import { mapPoint, type Similarity } from './similarity.ts';
import type { Tile } from './tiles.ts';

/** Features of a piece of a picture, and where its first pixel lies in the picture. */
export interface Patch {
  readonly feature: Feature;
  readonly left: number;
  readonly top: number;
}

/** A tile of the reference with what both pictures show about it. */
export interface TilePair extends Tile {
  readonly a: Patch;
  readonly b: Patch;
}

/** A square of values about a tile: `margin` pixels more on each side. */
export interface Square {
  readonly side: number;
  readonly values: Float32Array;
}

export const createSquare = (side: number): Square => ({ side, values: new Float32Array(side * side) });

/** What the reference shows about a tile; 0 where it shows nothing or `there` is 0. */
export const cutReference = ({ x, y, side, a }: TilePair, margin: number, there: Float32Array, into: Square): void => {
  const { width, height, values } = a.feature;
  const [left, top] = [x - margin - a.left, y - margin - a.top];
  const whole = side + 2 * margin;
  for (let v = 0, i = 0; v < whole; v++)
    for (let u = 0; u < whole; u++, i++) {
      const [column, row] = [left + u, top + v];
      const inside = column >= 0 && column < width && row >= 0 && row < height;
      into.values[i] = inside ? there[i]! * values[row * width + column]! : 0;
    }
};

/**
 * What the other picture shows about a tile through a map: value at p is that at map(p), by cubic convolution with
 * a = −1/2 (R. G. Keys, IEEE Trans. ASSP 29(6) 1153–1160, 1981); 0 where any pixel it rests on is not known.
 * @param there becomes 1 where it is known, else 0
 */
export const sampleOther = (
  { x, y, side, b }: TilePair,
  map: Similarity,
  margin: number,
  there: Float32Array,
  into: Square,
): void => {
  const whole = side + 2 * margin;
  const { feature, left, top } = b;
  for (let v = 0, i = 0; v < whole; v++) {
    let [px, py] = mapPoint(map, x - margin, y - margin + v);
    px -= left;
    py -= top;
    for (let u = 0; u < whole; u++, i++, px += map.a, py += map.b) {
      const value = cubicAt(feature, px, py);
      const known = !Number.isNaN(value);
      there[i] = known ? 1 : 0;
      into.values[i] = known ? value : 0;
    }
  }
};

const cubicAt = ({ width, height, values, known }: Feature, x: number, y: number): number => {
  const [column, row] = [Math.floor(x), Math.floor(y)];
  if (column < 1 || column + 2 >= width || row < 1 || row + 2 >= height) return Number.NaN;
  const at = row * width + column;
  if (known[at] === 0 || known[at + 1] === 0 || known[at + width] === 0 || known[at + width + 1] === 0)
    return Number.NaN;
  const [s, t] = [x - column, y - row];
  const [k0, k1, k2, k3] = [outer(1 + s), inner(s), inner(1 - s), outer(2 - s)];
  const line = (i: number) => k0 * values[i - 1]! + k1 * values[i]! + k2 * values[i + 1]! + k3 * values[i + 2]!;
  return (
    outer(1 + t) * line(at - width) +
    inner(t) * line(at) +
    inner(1 - t) * line(at + width) +
    outer(2 - t) * line(at + 2 * width)
  );
};

const inner = (d: number): number => (1.5 * d - 2.5) * d * d + 1;
const outer = (d: number): number => ((-0.5 * d + 2.5) * d - 4) * d + 2;
