import { describe, expect, it } from 'vitest';
import type { Plane } from '../../../lib/plane/plane.ts';
import type { SettledChannel } from '../../../lib/recipe/settle/settled.ts';
import { countedPlaces } from '../../../lib/recipe/suggest/counted.ts';
import { sampleLines, sampleOf } from '../../../lib/recipe/suggest/sample.ts';
import { random } from '../../../samples/scene/random.ts';

const WIDTH = 120;
const HEIGHT = 80;

const picture = (seed: number, level: number, noise: number): Float32Array => {
  const rng = random(seed, 8);
  return Float32Array.from({ length: WIDTH * HEIGHT }, () => level + noise * rng.normal());
};

const star = (data: Float32Array, x: number, y: number, height: number) => {
  for (let v = -4; v <= 4; v++)
    for (let u = -4; u <= 4; u++) data[(y + v) * WIDTH + x + u]! += height * Math.exp(-(u * u + v * v) / 4);
};

describe('counted pixels', () => {
  it('leave out stars, saturation, missing data and the border', () => {
    const [one, other] = [picture(1, 0.3, 0.01), picture(2, 0.3, 0.01)];
    star(one, 40, 30, 0.5);
    other[50 * WIDTH + 60] = 1;
    other[50 * WIDTH + 80] = Number.NaN;
    const places = new Set(countedPlaces([one, other], WIDTH, HEIGHT));
    for (const [x, y] of [
      [40, 30],
      [41, 31],
      [60, 50],
      [80, 50],
      [0, 40],
      [60, HEIGHT - 1],
    ] as const)
      expect(places.has(y * WIDTH + x), `${x},${y}`).toBe(false);
    expect(places.size).toBeGreaterThan(0.85 * WIDTH * HEIGHT);
  });
});

describe('a sample', () => {
  const channel = (name: string): SettledChannel => ({
    name,
    background: 100,
    black: -10,
    white: 90,
    stretch: { curve: 'linear' },
  });
  const plane = (seed: number, level: number, noise: number): Plane => ({
    width: WIDTH,
    height: HEIGHT,
    data: picture(seed, level, noise),
  });

  it('holds stretched values, their moments and their noise', () => {
    const sample = sampleLines([channel('S'), channel('H')], [plane(1, 120, 2), plane(2, 140, 5)]);
    // z = (x − 100 + 10) / 100
    expect(sample.mean).toEqual([expect.closeTo(0.3, 2), expect.closeTo(0.5, 2)]);
    expect(Math.sqrt(sample.covariance[0]![0]!)).toBeCloseTo(0.02, 3);
    expect(Math.sqrt(sample.covariance[1]![1]!)).toBeCloseTo(0.05, 2);
    expect(sample.noise).toEqual([expect.closeTo(0.02, 3), expect.closeTo(0.05, 2)]);
    expect(Math.max(...sample.values)).toBeLessThan(1);
  });

  it('tells the noise of a pixel whatever the picture does along one axis', () => {
    for (const along of [(x: number) => x - WIDTH / 2, (_: number, y: number) => y - HEIGHT / 2]) {
      const curved = plane(1, 110, 0.002);
      // Second differences of 0.01 in every row or column: five times the noise.
      for (let i = 0; i < curved.data.length; i++)
        curved.data[i]! += 0.005 * along(i % WIDTH, Math.floor(i / WIDTH)) ** 2;
      const sample = sampleLines([channel('S'), channel('H')], [curved, plane(2, 140, 5)]);
      expect(sample.noise[0]! / 2e-5).toBeCloseTo(1, 1);
    }
  });

  it('does not take missing data for black', () => {
    const gap = plane(1, 120, 2);
    for (let i = 0; i < gap.data.length / 3; i++) gap.data[i] = Number.NaN;
    const sample = sampleLines([channel('S'), channel('H')], [gap, plane(2, 140, 5)]);
    expect(Math.min(...sample.values)).toBeGreaterThan(0.1);
  });

  it('can be cut to some lines in another order', () => {
    const sample = sampleLines([channel('S'), channel('H')], [plane(1, 120, 2), plane(2, 140, 5)]);
    const turned = sampleOf(sample, ['H', 'S']);
    expect([...turned.values.subarray(0, 2)]).toEqual([sample.values[1], sample.values[0]]);
    expect(turned.covariance[0]![0]).toBe(sample.covariance[1]![1]);
    expect(sampleOf(sample, ['H']).values.length).toBe(sample.values.length / 2);
  });

  it('refuses masters that do not overlap', () => {
    const empty = { width: WIDTH, height: HEIGHT, data: new Float32Array(WIDTH * HEIGHT).fill(Number.NaN) };
    expect(() => sampleLines([channel('S'), channel('H')], [plane(1, 120, 2), empty])).toThrow(/only 0 pixels/);
  });
});
