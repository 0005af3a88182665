import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { agree } from '../../../lib/measure/registration/agreement.ts';
import {
  fitSimilarity,
  largestMove,
  mapPoint,
  type Pair,
  rotationOf,
  type Similarity,
  scaleOf,
  similarity,
} from '../../../lib/measure/registration/similarity.ts';
import { random } from '../../../samples/scene/random.ts';

const CENTRE = { cx: 599.5, cy: 399.5 };

const pairsOf = (map: Similarity, scatter = 0, seed = 1): Pair[] => {
  const rng = random(seed, 9);
  const pairs: Pair[] = [];
  for (let y = 100; y <= 700; y += 150)
    for (let x = 100; x <= 1100; x += 250) {
      const [u, v] = mapPoint(map, x, y);
      pairs.push({ x, y, toX: u + scatter * rng.normal(), toY: v + scatter * rng.normal(), weight: 10 });
    }
  return pairs;
};

describe('a similarity', () => {
  it('turns clockwise as seen, with y down', () => {
    const [x, y] = mapPoint(similarity({ cx: 0, cy: 0 }, 0, 0, 90), 1, 0);
    expect(x).toBeCloseTo(0, 12);
    expect(y).toBeCloseTo(1, 12);
  });

  it('is fitted exactly to points without error', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: -179, max: 179, noNaN: true }),
        fc.double({ min: 0.8, max: 1.25, noNaN: true }),
        (shift, angle, scale) => {
          const { map, residual } = fitSimilarity(pairsOf(similarity(CENTRE, shift, -shift, angle, scale)), CENTRE)!;
          expect(map.dx).toBeCloseTo(shift, 8);
          expect(map.dy).toBeCloseTo(-shift, 8);
          expect(rotationOf(map)).toBeCloseTo(angle, 8);
          expect(scaleOf(map)).toBeCloseTo(scale, 8);
          expect(residual).toBeLessThan(1e-8);
        },
      ),
    );
  });

  it('has the uncertainty that repeated measurements show', () => {
    const true_ = similarity(CENTRE, 2, 1, 0.5);
    const fits = Array.from({ length: 400 }, (_, i) => fitSimilarity(pairsOf(true_, 0.2, i + 1), CENTRE)!);
    const spread = (of: (i: number) => number) =>
      Math.sqrt(fits.reduce((sum, _, i) => sum + of(i) ** 2, 0) / fits.length);
    const mean = (of: (i: number) => number) => fits.reduce((sum, _, i) => sum + of(i), 0) / fits.length;
    const ratio = (deviation: (i: number) => number, claimed: (i: number) => number) =>
      mean(claimed) / spread(deviation);
    expect(
      ratio(
        (i) => fits[i]!.map.dx - 2,
        (i) => fits[i]!.uncertainty.shift,
      ),
    ).toBeCloseTo(1, 0);
    expect(
      ratio(
        (i) => fits[i]!.map.dy - 1,
        (i) => fits[i]!.uncertainty.shift,
      ),
    ).toBeCloseTo(1, 0);
    expect(
      ratio(
        (i) => rotationOf(fits[i]!.map) - 0.5,
        (i) => fits[i]!.uncertainty.rotation,
      ),
    ).toBeCloseTo(1, 0);
    expect(
      ratio(
        (i) => scaleOf(fits[i]!.map) - 1,
        (i) => fits[i]!.uncertainty.scale,
      ),
    ).toBeCloseTo(1, 0);
  });

  it('is not fitted to one place', () => {
    const [p] = pairsOf(similarity(CENTRE));
    expect(fitSimilarity([p!, p!], CENTRE)).toBeUndefined();
  });

  it('moves the corners most where it turns', () => {
    const move = largestMove(similarity(CENTRE, 0, 0, 1), 1200, 800);
    expect(move).toBeCloseTo(2 * Math.sin(Math.PI / 360) * Math.hypot(599.5, 399.5), 8);
  });
});

describe('agreement', () => {
  const map = similarity(CENTRE, 3.25, -1.5, 2.5);
  const astray = (pairs: Pair[], count: number) => {
    const rng = random(7, 1);
    return pairs.map((p, i) =>
      (i * 7) % pairs.length < count ? { ...p, toX: p.x + 60 * rng.normal(), toY: p.y + 60 * rng.normal() } : p,
    );
  };

  it('is found among pairs more than half of which are wrong', () => {
    const found = agree(astray(pairsOf(map, 0.02), 14), CENTRE, 1)!;
    expect(found.inliers.filter(Boolean).length).toBe(11);
    expect(rotationOf(found.map)).toBeCloseTo(2.5, 2);
    expect(found.map.dx).toBeCloseTo(3.25, 1);
  });

  it('is not found among accidents', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const rng = random(seed, 2);
      const pairs = pairsOf(map).map((p) => ({ ...p, toX: p.x + 64 * rng.normal(), toY: p.y + 64 * rng.normal() }));
      expect(agree(pairs, CENTRE, 1)).toBeUndefined();
    }
  });

  it('needs four', () => {
    expect(agree(pairsOf(map).slice(0, 3), CENTRE, 1)).toBeUndefined();
  });
});
