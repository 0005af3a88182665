import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { samplesFor } from '../../plane/strips.ts';
import { mapPoint, type Similarity } from './similarity.ts';

/** A square piece of the reference: its upper left corner and its side in pixels. */
export interface Tile {
  readonly x: number;
  readonly y: number;
  readonly side: number;
}

/** Tiles along each axis at most. */
const ALONG = 5;
const [SMALLEST, LARGEST] = [32, 256];

/**
 * Up to 5 × 5 tiles spread evenly over a frame, rows from top to bottom; they overlap where the frame is small.
 * None where its shorter side is below 64 pixels.
 */
export const layTiles = (width: number, height: number): Tile[][] => {
  const side = Math.min(LARGEST, 2 ** Math.floor(Math.log2(Math.min(width, height) / 2)));
  if (side < SMALLEST) return [];
  const places = (length: number) => {
    const count = Math.min(ALONG, Math.max(2, Math.floor(length / (side / 2)) - 1));
    return Array.from({ length: count }, (_, i) => Math.round((i * (length - side)) / (count - 1)));
  };
  const across = places(width);
  return places(height).map((y) => across.map((x) => ({ x, y, side })));
};

/** Some whole rows of a picture. */
export interface Band {
  readonly width: number;
  readonly top: number;
  readonly rows: number;
  readonly data: Samples;
}

/** Pixels beyond a position that its interpolation looks at. */
const REACH = 2;

/** The rows of `source` that sampling these tiles through `map` needs. */
export const readBand = async (source: PlaneSource, tiles: readonly Tile[], map: Similarity): Promise<Band> => {
  const heights = tiles.flatMap(({ x, y, side }) =>
    [0, side - 1].flatMap((v) => [0, side - 1].map((u) => mapPoint(map, x + u, y + v)[1])),
  );
  const top = Math.min(source.height, Math.max(0, Math.floor(Math.min(...heights)) - REACH));
  const end = Math.max(top, Math.min(source.height, Math.ceil(Math.max(...heights)) + REACH + 1));
  const rows = end - top;
  const data = samplesFor(source, rows * source.width);
  if (rows > 0) await source.readRows(top, rows, data);
  return { width: source.width, top, rows, data };
};

/** A tile as the mapped picture shows it: value at p is that of the picture at map(p); NaN outside of it. */
export const sampleTile = (band: Band, { x, y, side }: Tile, map: Similarity, into: Float64Array): void => {
  const whole = map.a === 1 && map.b === 0 && Number.isInteger(map.dx) && Number.isInteger(map.dy);
  for (let v = 0, i = 0; v < side; v++) {
    let [px, py] = mapPoint(map, x, y + v);
    for (let u = 0; u < side; u++, i++, px += map.a, py += map.b)
      into[i] = whole ? valueAt(band, Math.round(px), Math.round(py)) : cubicAt(band, px, py);
  }
};

const valueAt = ({ width, top, rows, data }: Band, x: number, y: number): number => {
  const row = y - top;
  return x >= 0 && x < width && row >= 0 && row < rows ? data[row * width + x]! : Number.NaN;
};

/** Cubic convolution with a = −1/2 (R. G. Keys, IEEE Trans. ASSP 29(6) 1153–1160, 1981); NaN near missing pixels. */
const cubicAt = ({ width, top, rows, data }: Band, x: number, y: number): number => {
  const left = Math.floor(x);
  const above = Math.floor(y);
  const row = above - top;
  if (left < 1 || left + 2 >= width || row < 1 || row + 2 >= rows) return Number.NaN;
  const s = x - left;
  const t = y - above;
  let sum = 0;
  for (let j = -1; j <= 2; j++) {
    const at = (row + j) * width + left;
    sum +=
      keys(j - t) *
      (keys(-1 - s) * data[at - 1]! + keys(-s) * data[at]! + keys(1 - s) * data[at + 1]! + keys(2 - s) * data[at + 2]!);
  }
  return sum;
};

const keys = (d: number): number => {
  const t = Math.abs(d);
  return t < 1 ? (1.5 * t - 2.5) * t * t + 1 : ((-0.5 * t + 2.5) * t - 4) * t + 2;
};
