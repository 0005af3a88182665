import { describe, expect, it } from 'vitest';
import { areaOf } from '../../lib/hours/correlation.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { surveyLine } from '../../lib/hours/survey.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';

const SIZE = 384;
const SIGMA = 10;
type Resample = (noise: () => number) => Float64Array;

const white = (noise: () => number, size = SIZE) => Float64Array.from({ length: size * size }, noise);

/** Every row, then every column, by weights at offsets from −(count − 1)/2; edges wrap, which noise does not mind. */
const filtered = (data: Float64Array, across: readonly number[], down: readonly number[]): Float64Array => {
  const along = (values: Float64Array, weights: readonly number[], step: number, turn: (i: number) => number) =>
    values.map((_, i) =>
      weights.reduce((sum, w, k) => sum + w * values[turn(i + (k - (weights.length - 1) / 2) * step)]!, 0),
    );
  const count = data.length;
  const once = along(data, across, 1, (i) => (i + count) % count);
  return along(once, down, SIZE, (i) => (i + count) % count);
};

/** Cubic convolution with a = −1/2 (R. G. Keys, IEEE Trans. ASSP 29, 1153, 1981) moved by a part of a pixel. */
const keys = (part: number): number[] =>
  [-2, -1, 0, 1, 2].map((k) => {
    const t = Math.abs(k - part);
    if (t < 1) return 1.5 * t ** 3 - 2.5 * t ** 2 + 1;
    return t < 2 ? -0.5 * t ** 3 + 2.5 * t ** 2 - 4 * t + 2 : 0;
  });

/** Frames at random places dropped, each pixel shrunk to `drop` of its side, onto a grid `scale` times as fine. */
const drizzled =
  (scale: number, drop: number, frames: number): Resample =>
  (noise) => {
    const from = SIZE / scale;
    const sum = new Float64Array(SIZE * SIZE);
    const weight = new Float64Array(SIZE * SIZE);
    const half = (drop * scale) / 2;
    for (let f = 0; f < frames; f++) {
      // Places spread evenly over a pixel.
      const [dx, dy] = [(f * 0.7548776662466927) % 1, (f * 0.5698402909980532) % 1];
      const overlaps = (i: number, shift: number) => {
        const centre = scale * (i + shift);
        const [low, high] = [centre - half, centre + half];
        const cells: [number, number][] = [];
        for (let k = Math.max(0, Math.floor(low)); k < Math.min(SIZE, Math.ceil(high)); k++)
          cells.push([k, Math.min(high, k + 1) - Math.max(low, k)]);
        return cells;
      };
      const columns = Array.from({ length: from }, (_, i) => overlaps(i, dx));
      for (let j = 0; j < from; j++) {
        const rows = overlaps(j, dy);
        for (let i = 0; i < from; i++) {
          const value = noise() * Math.sqrt(frames);
          for (const [y, h] of rows)
            for (const [x, w] of columns[i]!) {
              sum[y * SIZE + x]! += h * w * value;
              weight[y * SIZE + x]! += h * w;
            }
        }
      }
    }
    return sum.map((v, i) => (weight[i]! > 0 ? v / weight[i]! : 0));
  };

const CASES: readonly (readonly [string, Resample])[] = [
  ['independent', (noise) => white(noise)],
  ['moved by cubic convolution', (noise) => filtered(white(noise), keys(0.5), keys(0.5))],
  ['moved unevenly by cubic convolution', (noise) => filtered(white(noise), keys(0.4), keys(0.2))],
  ['moved along rows alone', (noise) => filtered(white(noise), keys(0.5), [1])],
  ['moved bilinearly', (noise) => filtered(white(noise), [0, 0.5, 0.5], [0, 0.5, 0.5])],
  ['drizzled on the same grid', drizzled(1, 0.8, 24)],
  ['drizzled onto half the grid', drizzled(2, 0.8, 24)],
  ['drizzled onto half the grid, drops of full size', drizzled(2, 1, 24)],
];

/** Standard deviation of a pixel, and of means of boxes of `side` pixels, over draws of noise alone. */
const truthOf = (resample: Resample, side: number) => {
  let [pixel, box, pixels, boxes] = [0, 0, 0, 0];
  for (let draw = 0; draw < 2; draw++) {
    const normal = normalDeviates(700 + draw);
    const data = resample(() => SIGMA * normal());
    for (let y = 16; y + side <= SIZE - 16; y += side)
      for (let x = 16; x + side <= SIZE - 16; x += side) {
        let sum = 0;
        for (let r = 0; r < side; r++)
          for (let c = 0; c < side; c++) {
            const v = data[(y + r) * SIZE + x + c]!;
            sum += v;
            pixel += v * v;
            pixels++;
          }
        box += (sum / side ** 2) ** 2;
        boxes++;
      }
  }
  return { one: Math.sqrt(pixel / pixels), box: Math.sqrt(box / boxes) };
};

describe('noise of resampled masters', () => {
  it.each(CASES)('%s: a pixel within 0.03, means of boxes within 0.06', async (_, resample) => {
    const side = 8;
    const truth = truthOf(resample, side);
    const normal = normalDeviates(31);
    const data = Float32Array.from(
      resample(() => SIGMA * normal()),
      (v, i) => v + 1000 + 0.03 * (i % SIZE),
    );
    const { texture } = await surveyLine('H', planeSource('h.fits', { width: SIZE, height: SIZE, data }), 1005);
    expect(Math.abs(texture.pixel / truth.one - 1), `pixel ${texture.pixel}, ${truth.one}`).toBeLessThan(0.03);
    const mean = (texture.pixel * areaOf(texture.correlation, side, side)) / side;
    expect(Math.abs(mean / truth.box - 1), `mean ${mean}, ${truth.box}`).toBeLessThan(0.06);
  });
});
