import { expect, it } from 'vitest';
import { hoursTo, patchFor, readArea } from '../../lib/faint/area.ts';
import { binsOf, disc, noisy, WHITE } from './planes.ts';

it('reads the contrast of an area against its ring, as certain as it says', () => {
  const errors: number[] = [];
  for (let seed = 1; seed <= 40; seed++) {
    const inside = disc(100, 90, 30);
    const bins = binsOf(
      noisy(200, 180, 930 + seed, (x, y) => 5 + (inside(x, y) > 0.5 ? 0.4 : 0)),
      200,
    );
    const box = { x: 42, y: 37, width: 16, height: 16 };
    const patch = patchFor(bins, box, 16);
    for (let v = 0; v < patch.height; v++)
      for (let u = 0; u < patch.width; u++)
        if (inside(2 * (patch.x + u) + 0.5, 2 * (patch.y + v) + 0.5) > 0.9) patch.marks[v * patch.width + u] = 1;
    const found = readArea(bins, WHITE, patch, 16, () => false)!;
    errors.push((found.contrast - 0.4) / found.noise);
  }
  const mean = errors.reduce((a, b) => a + b) / errors.length;
  const spread = Math.sqrt(errors.reduce((sum, e) => sum + (e - mean) ** 2, 0) / errors.length);
  expect(Math.abs(mean)).toBeLessThan(0.5);
  expect(spread).toBeGreaterThan(0.7);
  expect(spread).toBeLessThan(1.35);
});

it('reads nothing where too little is left', () => {
  const bins = binsOf(noisy(64, 64, 1), 64);
  const patch = patchFor(bins, { x: 10, y: 10, width: 1, height: 1 }, 4);
  patch.marks[0] = 1;
  expect(readArea(bins, WHITE, patch, 4, () => false)).toBeUndefined();
});

it('tells hours by the square of what is missing', () => {
  const plain = { hours: 10, aim: 5, unevenness: 0, isBlind: false };
  expect(hoursTo({ z: 2.5, noise: 1 }, plain)).toEqual({
    aim: 5,
    hours: 40,
    least: 10 * (5 / 3.5) ** 2,
    most: 10 * (5 / 1.5) ** 2,
  });
  expect(hoursTo({ z: 1, noise: 1 }, plain)).not.toHaveProperty('most');
  expect(hoursTo({ z: -1, noise: 1 }, plain)).toBeUndefined();
  // Flats widen the interval, and an area found blindly may be weaker still.
  expect(hoursTo({ z: 5, noise: 1 }, { ...plain, unevenness: Math.sqrt(3) })!.most).toBeCloseTo(10 * (5 / 3) ** 2);
  expect(hoursTo({ z: 5, noise: 1 }, { ...plain, isBlind: true })!.most).toBeCloseTo(10 * (5 / 3) ** 2);
});
