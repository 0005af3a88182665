import { describe, expect, it } from 'vitest';
import type { Feature } from '../../../lib/measure/registration/features.ts';
import { jointSearch } from '../../../lib/measure/registration/joint-search.ts';
import { tileSurfaces } from '../../../lib/measure/registration/surfaces.ts';
import { tileSpectra } from '../../../lib/measure/registration/tile-spectra.ts';
import { layTiles } from '../../../lib/measure/registration/tiles.ts';
import { random } from '../../../samples/scene/random.ts';
import { moved } from './planted.ts';

const [width, height] = [256, 256];
const noise = (seed: number): Float32Array => {
  const rng = random(seed, 8);
  const fine = Float32Array.from({ length: width * height }, () => rng.normal());
  // Blobs of a few pixels, as features are.
  return fine.map((_, i) => {
    let sum = 0;
    for (const j of [-2, -1, 0, 1, 2]) for (const k of [-2, -1, 0, 1, 2]) sum += fine[i + j * width + k] ?? 0;
    return sum / 5;
  });
};
const feature = (values: Float32Array): Feature => ({
  width,
  height,
  values: values.map((v) => (v - v === 0 ? v : 0)),
  known: values.map((v) => (v - v === 0 ? 1 : 0)),
});
const tiles = layTiles(width, height);
const centre = { cx: 127.5, cy: 127.5 };
const search = (a: Float32Array, b: Float32Array) =>
  jointSearch(tileSurfaces(tileSpectra(feature(a), tiles), feature(b)), centre, 5)!;

describe('the joint search', () => {
  it('finds shift, turn and scale to a step, though no tile shows a peak of its own', () => {
    const a = noise(1);
    const planted = moved({ width, height, data: a }, { dx: 8, dy: -6, angle: 2.5, scale: 1.01 });
    // Five times as much noise of its own.
    const b = planted.data.map((v, i) => v + 5 * noise2[i]!);
    const { best, elsewhere } = search(a, b);
    const step = 2 / 136;
    expect(Math.abs(best.dx - 8)).toBeLessThanOrEqual(2);
    expect(Math.abs(best.dy + 6)).toBeLessThanOrEqual(2);
    expect(Math.abs(best.turn - (2.5 * Math.PI) / 180)).toBeLessThan(step);
    expect(Math.abs(best.growth - 0.01)).toBeLessThan(step);
    expect(best.height).toBeGreaterThan(1.15 * elsewhere);
  });

  it('finds in unrelated pictures no more than anywhere else', () => {
    const { best, elsewhere } = search(noise(3), noise(4));
    expect(best.height).toBeLessThan(1.15 * elsewhere);
  });

  it('has nothing to search where there is no structure', () => {
    expect(jointSearch([], centre, 5)).toBeUndefined();
    expect(tileSurfaces(tileSpectra(feature(noise(1)), tiles), feature(new Float32Array(width * height)))).toEqual([]);
  });
});

const noise2 = noise(2);
