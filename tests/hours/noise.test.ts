import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { immerkaer } from '../../lib/hours/immerkaer.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { surveyLine } from '../../lib/hours/survey.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';

const golden = JSON.parse(readFileSync(new URL('../golden/hours/noise.json', import.meta.url), 'utf8'));

const SIZE = 384;
const whole = { x: 0, y: 0, width: SIZE, height: SIZE };
/** Normal noise of standard deviation `sigma` on a slope. */
const noisy = (sigma: number, slope = 0, seed = 5): Float32Array => {
  const normal = normalDeviates(seed);
  return Float32Array.from({ length: SIZE * SIZE }, (_, i) => 1000 + slope * (i % SIZE) + sigma * normal());
};
/** The picture moved by a part of a pixel in both directions, by bilinear interpolation. */
const moved = (data: Float32Array, part: number): Float32Array =>
  data.map((_, i) => {
    const right = i % SIZE < SIZE - 1 ? 1 : 0;
    const down = i < SIZE * (SIZE - 1) ? SIZE : 0;
    const top = (1 - part) * data[i]! + part * data[i + right]!;
    return (1 - part) * top + part * ((1 - part) * data[i + down]! + part * data[i + down + right]!);
  });
const source = (data: Float32Array) => planeSource('plane.fits', { width: SIZE, height: SIZE, data });
const within = (value: number, wanted: number, share: number) =>
  expect(Math.abs(value / wanted - 1), `${value} instead of ${wanted}`).toBeLessThan(share);

describe('noise of a pixel', () => {
  it('is what the published formula gives for a small picture', () => {
    const { image, immerkaer: wanted } = golden.noise.values;
    const data = Float64Array.from(image.flat());
    expect(immerkaer(data, 8, { x: 0, y: 0, width: 8, height: 6 })).toBeCloseTo(wanted, 12);
  });

  it('does not see a plane, and says NaN where data is missing or the mask does not fit', () => {
    const plane = Float64Array.from({ length: 64 }, (_, i) => 3 * (i % 8) - 2 * Math.floor(i / 8));
    const cell = { x: 0, y: 0, width: 8, height: 8 };
    expect(immerkaer(plane, 8, cell)).toBeLessThan(1e-12);
    expect(immerkaer(plane, 8, { ...cell, width: 2 })).toBeNaN();
    expect(immerkaer(plane.with(20, Number.NaN), 8, cell)).toBeNaN();
    expect(immerkaer(plane.with(20, Number.POSITIVE_INFINITY), 8, cell)).toBeNaN();
  });

  it.each([1, 2, 3])('is found at step %d for independent pixels', (step) => {
    within(immerkaer(noisy(7), SIZE, whole, step), 7, 0.01);
  });
});

describe('survey', () => {
  it('finds independent noise on a slope, as it is', async () => {
    const { background, texture } = await surveyLine('H', source(noisy(5, 0.4)), 1070);
    within(background.noise, 5, 0.015);
    expect(texture).toMatchObject({ correlated: false, neighbours: 0, area: 1 });
  });

  it.each([0.5, 0.3])('sees that a master was interpolated by %d pixel, and how its noise averages', async (part) => {
    const { background, texture } = await surveyLine('H', source(moved(noisy(8), part)), 1000);
    const keep = (1 - part) ** 2 + part ** 2;
    const r = (part * (1 - part)) / keep;
    expect(texture.correlated).toBe(true);
    // Interpolated noise by the weights of the interpolation; the sum of all weights is 1, so large means keep σ/√n.
    within(background.noise, 8 * keep, 0.04);
    within(texture.neighbours, r, 0.06);
    within(texture.pixel * texture.area, 8, 0.05);
  });

  it('reads a box: its mean, its own noise, its pixels with data', async () => {
    const data = noisy(5);
    const normal = normalDeviates(9);
    const box = { x: 101, y: 50, width: 60, height: 64 };
    for (let y = box.y; y < box.y + box.height; y++)
      for (let x = box.x; x < box.x + box.width; x++) data[y * SIZE + x] = 1300 + 9 * normal();
    data[60 * SIZE + 140] = Number.NaN;
    const { background, box: reading } = await surveyLine('H', source(data), 1000, { box });
    within(background.noise, 5, 0.02);
    within(reading!.noise, 9, 0.05);
    within(reading!.value, 1300, 0.001);
    expect(reading!.pixels).toBe(60 * 64 - 1);
  });

  it('takes the background from a box where one is given', async () => {
    const data = noisy(5).map((v, i) => (i % SIZE < 64 ? 400 + 2 * (v - 1000) : v));
    const { background } = await surveyLine('H', source(data), 1000, {
      background: { x: 0, y: 0, width: 64, height: 128 },
    });
    within(background.noise, 10, 0.03);
    within(background.value, 400, 0.01);
  });

  it.each([
    [200, 20],
    [20, 200],
    [33, 9],
  ])('measures pictures as narrow as %d × %d', async (width, height) => {
    const data = noisy(5).slice(0, width * height);
    const { background } = await surveyLine('H', planeSource('plane.fits', { width, height, data }), 1000);
    within(background.noise, 5, 0.35);
  });

  it('says how far it is, up to the end', async () => {
    const done: number[] = [];
    await surveyLine('H', source(noisy(5)), 1000, { progress: (part) => done.push(part) });
    expect(done).toEqual([...done].sort((a, b) => a - b));
    // A row of cells of 16 pixels every 8.
    expect(done).toEqual(Array.from({ length: 47 }, (_, i) => (i + 2) / 48));
  });

  it('can be stopped', async () => {
    await expect(surveyLine('H', source(noisy(5)), 1000, { signal: AbortSignal.abort() })).rejects.toMatchObject({
      tag: 'cancelled',
    });
  });

  it('takes places whose level is the background’s, and leaves out those without data', async () => {
    // A third of the picture at the level, quiet; the rest brighter and louder; a hole in some quiet cells.
    const data = noisy(5).map((v, i) => (i % SIZE < SIZE / 3 ? v : 2000 + 8 * (v - 1000)));
    for (let y = 0; y < 100; y++) data[y * SIZE + 5] = Number.NaN;
    const { background } = await surveyLine('H', source(data), 1000);
    expect(background.value).toBe(1000);
    within(background.noise, 5, 0.03);
  });

  it('refuses a box outside, without data or too small', async () => {
    const plane = source(noisy(5).fill(Number.NaN, 0, SIZE * 40));
    const survey = (x: number, y: number, width: number, height: number) =>
      surveyLine('H', plane, 1000, { box: { x, y, width, height } });
    await expect(survey(-1, 0, 40, 40)).rejects.toMatchObject({ tag: 'input', file: 'plane.fits' });
    for (const [x, y, width, height] of [
      [380, 100, 40, 40],
      [100, 380, 40, 40],
      [0, -1, 40, 40],
      [100, 100, 0, 40],
      [100, 100, 40, 0],
    ] as const)
      await expect(survey(x, y, width, height)).rejects.toMatchObject({ tag: 'input' });
    await expect(survey(344, 344, 40, 40)).resolves.toMatchObject({ box: { pixels: 1600 } });
    await expect(survey(0, 0, 30, 30)).rejects.toMatchObject({ message: 'the box holds too little data' });
    await expect(survey(0, 100, 2, 2)).rejects.toMatchObject({ tag: 'input' });
    await expect(surveyLine('H', source(noisy(5).fill(Number.NaN)), 1000)).rejects.toMatchObject({ tag: 'input' });
  });
});
