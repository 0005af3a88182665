import { describe, expect, it } from 'vitest';
import { type Feature, featureOf, WAVE } from '../../../lib/measure/registration/features.ts';
import { refine } from '../../../lib/measure/registration/refine.ts';
import { mapDistance, similarity } from '../../../lib/measure/registration/similarity.ts';
import { layTiles } from '../../../lib/measure/registration/tiles.ts';
import type { Plane } from '../../../lib/plane/plane.ts';
import { random } from '../../../samples/scene/random.ts';
import { moved, type Planted } from './planted.ts';

const [width, height] = [192, 192];
const centre = { cx: 95.5, cy: 95.5 };
const corner = { x: 96, y: 96 };

/** Blobs at random, with noise. */
const field = (seed: number, noise = 0): Plane => {
  const rng = random(seed, 12);
  const data = new Float32Array(width * height);
  for (let k = 0; k < 900; k++) {
    const [x, y, peak] = [width * rng.uniform(), height * rng.uniform(), rng.normal()];
    for (let v = Math.max(0, Math.ceil(y - 8)); v < Math.min(height, y + 8); v++)
      for (let u = Math.max(0, Math.ceil(x - 8)); u < Math.min(width, x + 8); u++)
        data[v * width + u]! += 100 * peak * Math.exp(-((u - x) ** 2 + (v - y) ** 2) / 5);
  }
  return { width, height, data: data.map((v) => v + noise * rng.normal()) };
};
const featuresOf = ({ data }: Plane) => featureOf(WAVE, { width, height, values: data })!;
const refined = (a: Feature, b: Feature, start = similarity(centre)) =>
  refine(
    layTiles(width, height).map((tile) => ({
      ...tile,
      a: { feature: a, left: 0, top: 0 },
      b: { feature: b, left: 0, top: 0 },
    })),
    start,
    WAVE.scale,
  );
const mapOf = ({ dx = 0, dy = 0, angle = 0, scale = 1 }: Planted) => similarity(centre, dx, dy, angle, scale);

describe('the refinement', () => {
  const scene = field(1);
  it.each([
    [{ dx: 0.4, dy: -0.7 }, {}],
    [{ angle: 0.5, scale: 1.004, dx: 0.3 }, {}],
    [
      { angle: 90.4, dx: 10.4 },
      { angle: 90, dx: 10 },
    ],
    [{ angle: -179.6, scale: 1.003 }, { angle: 180 }],
  ] as const)('climbs to %j', (planted: Planted, start: Planted) => {
    const found = refined(featuresOf(scene), featuresOf(moved(scene, planted)), mapOf(start))!;
    expect(found.settled).toBe(true);
    expect(mapDistance(found.map, mapOf(planted), corner)).toBeLessThan(0.1);
  });

  it('is not pulled by the edges of tiles and frames: independent noise on one picture moves nothing on average', () => {
    const shifts = Array.from({ length: 6 }, (_, i) => {
      const noisy = { ...scene, data: scene.data.map((v, k) => v + 40 * field40[i]![k]!) };
      return refined(featuresOf(scene), featuresOf(moved(noisy, { dx: 0.5 })))!.map.dx - 0.5;
    });
    const mean = shifts.reduce((p, q) => p + q, 0) / shifts.length;
    expect(Math.abs(mean)).toBeLessThan(0.05);
  });

  it('knows how far it scatters', () => {
    const draws = Array.from({ length: 10 }, (_, i) => {
      const noisy = { ...scene, data: scene.data.map((v, k) => v + 60 * field40[i]![k]!) };
      const { map, covariance } = refined(featuresOf(scene), featuresOf(noisy))!;
      return { square: map.dx ** 2 + map.dy ** 2, claimed: covariance[0]![0]! + covariance[1]![1]! };
    });
    const [real, claimed] = [
      draws.reduce((sum, { square }) => sum + square, 0),
      draws.reduce((sum, d) => sum + d.claimed, 0),
    ];
    // Twenty numbers know their standard deviation to a sixth: four times that.
    expect(Math.sqrt(claimed / real)).toBeGreaterThan(0.5);
    expect(Math.sqrt(claimed / real)).toBeLessThan(2);
  });

  it('answers nothing where the pictures share too little', () => {
    expect(refined(featuresOf(scene), featuresOf(scene), similarity(centre, 170, 170))).toBeUndefined();
  });
});

const field40 = Array.from({ length: 10 }, (_, i) => {
  const rng = random(100 + i, 13);
  return Float32Array.from({ length: width * height }, () => rng.normal());
});
