import type { Size } from './size.ts';

/** Running means that are applied one after the other. */
const TIMES = 3;

/** Values on each side that count whole, and the weight of the one after them, so that means have the variance of a Gaussian. */
export const meanFor = (sigma: number) => {
  const variance = (sigma * sigma) / TIMES;
  const reach = Math.floor((Math.sqrt(12 * variance + 1) - 1) / 2);
  const edge = ((2 * reach + 1) * (reach * (reach + 1) - 3 * variance)) / (6 * (variance - (reach + 1) ** 2));
  return { reach, edge, scale: 1 / (2 * reach + 1 + 2 * edge) };
};

/** A running mean. */
export type Mean = ReturnType<typeof meanFor>;

/** All means of each row, in memory with zeros around it. */
const meansAcross = (from: Float32Array, to: Float32Array, { width, height }: Size, mean: Mean): void => {
  const { reach, edge, scale } = mean;
  const margin = reach + 1;
  let [row, other] = [new Float64Array(width + 2 * margin), new Float64Array(width + 2 * margin)];
  for (let y = 0; y < height; y++) {
    const start = y * width;
    for (let x = 0; x < width; x++) row[margin + x] = from[start + x]!;
    for (let time = 0; time < TIMES; time++) {
      let sum = 0;
      for (let x = margin; x < margin + reach; x++) sum += row[x]!;
      for (let x = 0; x < width; x++) {
        const last = x + margin + reach;
        sum += row[last]!;
        other[x + margin] = scale * (sum + edge * (row[x]! + row[last + 1]!));
        sum -= row[x + 1]!;
      }
      [row, other] = [other, row];
    }
    for (let x = 0; x < width; x++) to[start + x] = row[margin + x]!;
  }
};

/** Columns that are averaged together: few enough for their rows to stay near. */
const TOGETHER = 64;

/** The same down columns, in place. */
const meansDown = (plane: Float32Array, { width, height }: Size, { reach, edge, scale }: Mean): void => {
  const margin = reach + 1;
  const rows = height + 2 * margin;
  let [some, other] = [new Float32Array(rows * TOGETHER), new Float32Array(rows * TOGETHER)];
  const sums = new Float64Array(TOGETHER);
  for (let left = 0; left < width; left += TOGETHER) {
    const across = Math.min(TOGETHER, width - left);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < across; x++) some[(margin + y) * TOGETHER + x] = plane[y * width + left + x]!;
    for (let time = 0; time < TIMES; time++) {
      sums.fill(0);
      for (let i = margin * TOGETHER; i < (margin + reach) * TOGETHER; i++) sums[i % TOGETHER]! += some[i]!;
      for (let y = 0; y < height; y++) {
        const before = y * TOGETHER;
        const last = before + (margin + reach) * TOGETHER;
        for (let x = 0; x < TOGETHER; x++) {
          const sum = sums[x]! + some[last + x]!;
          other[before + margin * TOGETHER + x] =
            scale * (sum + edge * (some[before + x]! + some[last + TOGETHER + x]!));
          sums[x] = sum - some[before + TOGETHER + x]!;
        }
      }
      [some, other] = [other, some];
    }
    for (let y = 0; y < height; y++)
      for (let x = 0; x < across; x++) plane[y * width + left + x] = some[(margin + y) * TOGETHER + x]!;
  }
};

/** Takes all means of a plane, across and down; `to` may be `from`. */
export type Means = (from: Float32Array, to: Float32Array, size: Size, mean: Mean) => void;

/** Means in plain numbers. */
export const plainMeans: Means = (from, to, size, mean) => {
  meansAcross(from, to, size, mean);
  meansDown(to, size, mean);
};
