import type { PlaneSource } from '../../plane/plane.ts';
import { eachStrip, type StripOptions } from '../../plane/strips.ts';
import type { Picture } from './picture.ts';

/**
 * The picture as means of `factor` × `factor` pixels, of those that hold data; whole blocks only. Reads it once from top
 * to bottom.
 */
export const readShrunk = async (source: PlaneSource, factor: number, options: StripOptions = {}): Promise<Picture> => {
  const width = Math.floor(source.width / factor);
  const height = Math.floor(source.height / factor);
  const values = new Float32Array(width * height);
  const sums = new Float64Array(width);
  const counts = new Uint32Array(width);
  const finish = (row: number) => {
    for (let x = 0; x < width; x++) values[row * width + x] = sums[x]! / counts[x]!;
    sums.fill(0);
    counts.fill(0);
  };
  const add = (data: ArrayLike<number>, top: number, rows: number) => {
    for (let r = 0; r < rows; r++) {
      const y = top + r;
      if (y >= height * factor) return;
      addRow(data, r * source.width, factor, sums, counts);
      if (y % factor === factor - 1) finish((y - factor + 1) / factor);
    }
  };
  await eachStrip(source, add, { signal: options.signal });
  return { width, height, values };
};

const addRow = (data: ArrayLike<number>, at: number, factor: number, sums: Float64Array, counts: Uint32Array): void => {
  for (let x = 0, i = at; x < sums.length; x++) {
    const start = i;
    let sum = 0;
    for (const end = i + factor; i < end; i++) sum += data[i]!;
    // Finite sums are of finite values alone: most blocks need no look at each.
    if (sum - sum === 0) {
      sums[x] = sums[x]! + sum;
      counts[x] = counts[x]! + factor;
    } else addFinite(data, start, i, x, sums, counts);
  }
};

const addFinite = (
  data: ArrayLike<number>,
  start: number,
  end: number,
  x: number,
  sums: Float64Array,
  counts: Uint32Array,
): void => {
  let sum = 0;
  for (let i = start; i < end; i++) {
    const v = data[i]!;
    if (v - v !== 0) continue;
    sum += v;
    counts[x] = counts[x]! + 1;
  }
  sums[x] = sums[x]! + sum;
};

/** The same of a picture in memory. */
export const shrunk = (picture: Picture, factor: number): Picture => {
  if (factor === 1) return picture;
  const [width, height] = [Math.floor(picture.width / factor), Math.floor(picture.height / factor)];
  const values = new Float32Array(width * height);
  const [sums, counts] = [new Float64Array(width), new Uint32Array(width)];
  for (let y = 0; y < height; y++) {
    sums.fill(0);
    counts.fill(0);
    for (let r = 0; r < factor; r++) addRow(picture.values, (y * factor + r) * picture.width, factor, sums, counts);
    for (let x = 0; x < width; x++) values[y * width + x] = sums[x]! / counts[x]!;
  }
  return { width, height, values };
};
