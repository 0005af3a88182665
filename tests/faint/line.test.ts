import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openFits } from '../../lib/formats/fits/open.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { findFaint } from '../../lib/work/faint.ts';
import { disc, lineOf, noisy } from './planes.ts';

const [WIDTH, HEIGHT] = [600, 420];
const wish = { flats: 0, largest: 32 };

/** A sky of 1000 with deviation 10, a gradient, and what is planted, in units of the deviation. */
const sky = (seed: number, light: (x: number, y: number) => number) =>
  noisy(WIDTH, HEIGHT, seed, light).map((v, i) => 1000 + 10 * v + 0.02 * (i % WIDTH));

const star = (x: number, y: number, cx: number, cy: number) => (1 + ((x - cx) ** 2 + (y - cy) ** 2) / 4) ** -2.8;

describe('what stands out of a line', () => {
  it('is outlined where it lies, stars are not', async () => {
    const body = disc(300, 200, 48);
    const data = sky(951, (x, y) => 0.5 * body(x, y) + 900 * star(x, y, 120.3, 90.6) + 60 * star(x, y, 470.2, 310.1));
    const found = await findFaint(lineOf(data, WIDTH), wish);
    expect(found.stars).toBeGreaterThanOrEqual(2);
    const [feature] = found.features;
    expect(Math.hypot(feature!.x - 300, feature!.y - 200)).toBeLessThan(24);
    expect(feature!.area!.z).toBeGreaterThan(5);
    expect(feature!.pixels).toBeGreaterThan(900);
    for (const { x, y } of found.features.slice(1)) expect(Math.hypot(x - 120, y - 91)).toBeGreaterThan(40);
    expect(found.hours).toBeUndefined();
    expect(feature!.hours).toEqual([]);
  });

  it('is asked for in a box, with the hours so far', async () => {
    const body = disc(300, 200, 48);
    const data = sky(952, (x, y) => 0.2 * body(x, y));
    const box = { x: 280, y: 180, width: 40, height: 40 };
    const { asked } = await findFaint(lineOf(data, WIDTH), { ...wish, box, hours: 4, aim: 6 });
    expect(asked!.area!.contrast).toBeGreaterThan(1);
    expect(asked!.area!.contrast).toBeLessThan(3);
    expect(asked!.hours.map(({ aim }) => aim)).toEqual([3, 6]);
    expect(asked!.hours[1]!.hours).toBeCloseTo(4 * (6 / asked!.area!.z) ** 2);
  });

  it('is nothing at the rim of what has no data, nor at the border', async () => {
    const data = sky(953, () => 0).map((v, i) => {
      const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
      return x + y < 200 || (Math.abs(x - 400) < 40 && Math.abs(y - 200) < 30) ? Number.NaN : v;
    });
    const found = await findFaint(lineOf(data, WIDTH), { ...wish, falseBlobs: 0.01 });
    expect(found.features).toEqual([]);
    // In the middle of what has no data nothing is known.
    expect(found.map.ratio[100 * found.map.width + 200]).toBeNaN();
    expect(found.map.ratio[0]).toBeNaN();
  });

  it('is told from uneven light by what flats leave', async () => {
    const body = disc(300, 200, 48);
    const data = sky(954, (x, y) => 0.3 * body(x, y));
    const light = { light: 1000, largest: 32 };
    // 3 of 1000 stand out of flats that are good to .0001 and not of flats that are good to .002.
    expect((await findFaint(lineOf(data, WIDTH), { ...light, flats: 0.0001 })).features.length).toBeGreaterThan(0);
    const poor = await findFaint(lineOf(data, WIDTH), { ...light, flats: 0.002 });
    expect(poor.features.filter(({ scale }) => scale >= 16)).toEqual([]);
    expect(poor.limits.join()).toMatch(/nothing below about 0\.\d+ % of the sky/);
  });

  it('is refused in words where there is nothing to look at', async () => {
    const flat = new Float32Array(WIDTH * HEIGHT).fill(7);
    await expect(findFaint(lineOf(flat, WIDTH), {})).rejects.toThrow('shows no noise');
    await expect(
      findFaint(
        lineOf(
          sky(1, () => 0),
          WIDTH,
        ),
        { largest: 48 },
      ),
    ).rejects.toThrow('not 48');
    const box = { x: 590, y: 0, width: 20, height: 20 };
    await expect(
      findFaint(
        lineOf(
          sky(1, () => 0),
          WIDTH,
        ),
        { box },
      ),
    ).rejects.toThrow('leaves the picture');
  });
});

const REAL = '../shared/data/ou5/ou5_oiii.fits';

it.skipIf(!existsSync(REAL))('finds shapes of one deviation a pixel in a real master', async () => {
  const source = await openFits(memorySource('ou5_oiii.fits', readFileSync(REAL)));
  const { width, height } = source;
  const plain = new Float32Array(width * height);
  await source.readRows(0, height, plain as never);
  const { noise } = await findFaint(lineOf(plain, width), wish);
  const deviation = Math.sqrt(noise.variance);
  const without = (await findFaint(lineOf(plain, width), wish)).features;
  let found = 0;
  for (const [cx, cy, diameter] of PLACES) {
    const body = disc(cx, cy, diameter);
    const data = plain.map((v, i) => v + deviation * body(i % width, Math.floor(i / width)));
    const { features } = await findFaint(lineOf(data, width), wish);
    if (features.some((of) => isAt(of, cx, cy)) && !without.some((of) => isAt(of, cx, cy))) found++;
  }
  expect(found).toBeGreaterThanOrEqual(PLACES.length - 1);
});

/** Middles and widths of discs, in the sky around the nebula. */
const PLACES = [
  [90, 90, 16],
  [310, 90, 24],
  [90, 310, 32],
  [310, 310, 40],
] as const;

const isAt = ({ box }: { box: { x: number; y: number; width: number; height: number } }, x: number, y: number) =>
  x >= box.x && x < box.x + box.width && y >= box.y && y < box.y + box.height;
