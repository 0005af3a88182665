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
    const ratios = [
      ratio(
        (i) => fits[i]!.map.dx - 2,
        (i) => fits[i]!.uncertainty.shift,
      ),
      ratio(
        (i) => fits[i]!.map.dy - 1,
        (i) => fits[i]!.uncertainty.shift,
      ),
      ratio(
        (i) => rotationOf(fits[i]!.map) - 0.5,
        (i) => fits[i]!.uncertainty.rotation,
      ),
      ratio(
        (i) => scaleOf(fits[i]!.map) - 1,
        (i) => fits[i]!.uncertainty.scale,
      ),
    ];
    // A standard deviation of 400 numbers is known to 1/√800 of itself: four times that.
    for (const r of ratios) expect(Math.abs(r - 1)).toBeLessThan(4 / Math.sqrt(800));
  });

  it('leaves a residual and an uncertainty that can be worked by hand', () => {
    // Moved by ±d along x so that no similarity takes part of it: of 8 numbers 4 are fitted, σ² = 4d²/(8 − 4).
    const d = 0.1;
    const pairs = [1, -1].flatMap((x) => [1, -1].map((y) => ({ x, y, toX: x + d * x * y, toY: y, weight: 5 })));
    const fitAbout = (cx: number, cy: number) => fitSimilarity(pairs, { cx, cy })!;
    const { map, residual, uncertainty } = fitAbout(0, 0);
    expect([map.a, map.b, map.dx, map.dy]).toEqual([1, 0, 0, 0].map((v) => expect.closeTo(v, 12)));
    expect(residual).toBeCloseTo(d, 12);
    // σ/√4; and σ over the root of Σr² = 8.
    expect(uncertainty.shift).toBeCloseTo(d / 2, 12);
    expect(uncertainty.scale).toBeCloseTo(d / Math.sqrt(8), 12);
    expect(uncertainty.rotation).toBeCloseTo(((d / Math.sqrt(8)) * 180) / Math.PI, 10);
    // Five pixels off their middle the turn is in doubt, too: σ²/4 + 25 σ²/8.
    expect(fitAbout(3, 4).uncertainty.shift).toBeCloseTo(d * Math.sqrt(1 / 4 + 25 / 8), 12);
  });

  it('does not listen to a pair without weight', () => {
    const true_ = similarity(CENTRE, 2, 1, 0.5);
    const stray = { x: 300, y: 300, toX: 900, toY: 0, weight: 0 };
    const { map, residual } = fitSimilarity([...pairsOf(true_), stray], CENTRE)!;
    expect([map.dx, map.dy, rotationOf(map)]).toEqual([2, 1, 0.5].map((v) => expect.closeTo(v, 9)));
    expect(residual).toBeLessThan(1e-9);
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

  it('needs a share of the pairs', () => {
    const right = pairsOf(map).filter((_, i) => [0, 4, 7, 12, 16, 20, 24].includes(i));
    const rng = random(3, 1);
    const wrong = pairsOf(map)
      .slice(0, 18)
      .map((p) => ({ ...p, toX: p.x + 99 * rng.normal(), toY: p.y + 99 * rng.normal() })); // prettier-ignore
    // Seven of 25: less than three tenths, more than a quarter.
    expect(agree([...right, ...wrong], CENTRE, 1)).toBeUndefined();
    expect(agree([...right, ...wrong], CENTRE, 1, 0.25)!.inliers).toEqual([...right, ...wrong].map((_, i) => i < 7));
  });

  it('is with most weight, not with most pairs', () => {
    const other = similarity(CENTRE, -20, 10, -1);
    const many = pairsOf(map)
      .slice(0, 15)
      .map((p) => ({ ...p, weight: 1 }));
    const strong = pairsOf(other)
      .slice(15)
      .map((p) => ({ ...p, weight: 3 }));
    const found = agree([...many, ...strong], CENTRE, 1)!;
    expect(found.map.dx).toBeCloseTo(-20, 6);
    expect(found.inliers).toEqual([...many, ...strong].map((_, i) => i >= 15));
  });

  it.each([
    [0.75, false],
    [0.85, true],
    [1.2, true],
    [1.3, false],
  ])('is of pictures of one camera: scale %d is found: %s', (scale, found) => {
    expect(agree(pairsOf(similarity(CENTRE, 0, 0, 0, scale)), CENTRE, 1) !== undefined).toBe(found);
  });

  it('leaves out what lies within the tolerance, but far outside the scatter of the others', () => {
    const pairs = pairsOf(map, 0.01).map((p, i) => (i === 9 ? { ...p, toX: p.toX + 0.8 } : p));
    const { inliers, map: fit } = agree(pairs, CENTRE, 1)!;
    expect(inliers).toEqual(pairs.map((_, i) => i !== 9));
    expect(fit.dx).toBeCloseTo(3.25, 1);
  });

  it('cannot be judged from pairs that lie close together', () => {
    const close = pairsOf(map).map((p, i) => {
      const [x, y] = [100 + (i % 5), 100 + Math.floor(i / 5)];
      const [toX, toY] = mapPoint(map, x, y);
      return { ...p, x, y, toX, toY };
    });
    expect(agree(close, CENTRE, 1)).toBeUndefined();
  });
});
