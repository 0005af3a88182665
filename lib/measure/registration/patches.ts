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
  const whole = side + 2 * margin;
  const [left, top] = [x - margin - a.left, y - margin - a.top];
  const [from, to] = [Math.max(0, -left), Math.min(whole, width - left)];
  const target = into.values;
  for (let v = 0; v < whole; v++) {
    const at = v * whole;
    if (top + v < 0 || top + v >= height || from >= to) {
      target.fill(0, at, at + whole);
      continue;
    }
    const shift = (top + v) * width + left - at;
    target.fill(0, at, at + from);
    for (let i = at + from; i < at + to; i++) target[i] = there[i]! * values[i + shift]!;
    target.fill(0, at + to, at + whole);
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
      there[i] = isKnown(feature, px, py) ? 1 : 0;
      into.values[i] = there[i] === 1 ? cubicAt(feature, px, py) : 0;
    }
  }
};

const isKnown = ({ width, height, known }: Feature, x: number, y: number): boolean => {
  const column = Math.floor(x);
  const row = Math.floor(y);
  if (column < 1 || column + 2 >= width || row < 1 || row + 2 >= height) return false;
  const at = row * width + column;
  return known[at] !== 0 && known[at + 1] !== 0 && known[at + width] !== 0 && known[at + width + 1] !== 0;
};

const cubicAt = ({ width, values }: Feature, x: number, y: number): number => {
  const column = Math.floor(x);
  const row = Math.floor(y);
  const s = x - column;
  const t = y - row;
  const k0 = outer(1 + s);
  const k1 = inner(s);
  const k2 = inner(1 - s);
  const k3 = outer(2 - s);
  const i = row * width + column;
  const h = i - width;
  const j = i + width;
  const k = j + width;
  return (
    outer(1 + t) * (k0 * values[h - 1]! + k1 * values[h]! + k2 * values[h + 1]! + k3 * values[h + 2]!) +
    inner(t) * (k0 * values[i - 1]! + k1 * values[i]! + k2 * values[i + 1]! + k3 * values[i + 2]!) +
    inner(1 - t) * (k0 * values[j - 1]! + k1 * values[j]! + k2 * values[j + 1]! + k3 * values[j + 2]!) +
    outer(2 - t) * (k0 * values[k - 1]! + k1 * values[k]! + k2 * values[k + 1]! + k3 * values[k + 2]!)
  );
};

const inner = (d: number): number => (1.5 * d - 2.5) * d * d + 1;
const outer = (d: number): number => ((-0.5 * d + 2.5) * d - 4) * d + 2;
