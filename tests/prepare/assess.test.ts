import { describe, expect, it } from 'vitest';
import { assessSurface, type Order, type SurfaceWish } from '../../lib/prepare/background/assess.ts';
import { framePosition, type Surface, surfaceAt } from '../../lib/prepare/background/surface.ts';
import { FULL, inTurn, someOf } from '../cases.ts';
import { randomNumbers } from '../parity/settled-cases.ts';
import { drawGrid, drawParts, HEIGHT, NOISE, type Parts, WIDTH } from './block-fields.ts';

const wish = (more: Partial<SurfaceWish> = {}): SurfaceWish => ({
  reject: 'bright',
  shadows: true,
  removeShadows: true,
  ...more,
});

/** Rms of a surface less what was planted, in noise, over some of the pixels; levels may differ by a constant. */
const errorOf = (surface: Surface, { sky, defect }: Parts, only: (x: number, y: number) => boolean = () => true) => {
  const all: number[] = [];
  const chosen: number[] = [];
  for (let y = 3; y < HEIGHT; y += 11)
    for (let x = 3; x < WIDTH; x += 11) {
      const at = surfaceAt(surface, framePosition(x, WIDTH), framePosition(y, HEIGHT));
      const difference = at - sky(x, y) - defect(x, y);
      all.push(difference);
      if (only(x, y)) chosen.push(difference);
    }
  const level = all.sort((a, b) => a - b)[all.length >> 1]!;
  return Math.sqrt(chosen.reduce((sum, d) => sum + (d - level) ** 2, 0) / chosen.length) / NOISE;
};

// Shares of the fields are judged below, so these are the same few in every run but a full one.
const SEEDS = Array.from({ length: FULL ? 16 : 10 }, (_, i) => 12001 + 41 * i);

/** What is found in the field of a seed and kind; each is assessed once for all tests. */
const assessed = (() => {
  const known = new Map<string, ReturnType<typeof assessSurface>>();
  return (seed: number, kind: 'none' | 'shadow' | 'glow') => {
    const key = `${seed} ${kind}`;
    const found = known.get(key) ?? assessSurface(drawGrid(drawParts(seed, kind), seed), wish());
    known.set(key, found);
    return found;
  };
})();

describe('a shadow at an edge', () => {
  // Over 240 other seeds 223 were found (93 %). Of these 197 (88 %) left less than half the noise inside, and the worst
  // 2.5 times the noise; of the 17 that were missed the two figures of certainty gave away 3.
  it.skipIf(!inTurn('nine times'))(
    'is found nine times of ten and taken off, and four of five leave less than half the noise of a pixel',
    () => {
      const left: number[] = [];
      for (const seed of SEEDS) {
        const parts = drawParts(seed, 'shadow');
        const { fit, shadow, uncertainty, correlated } = assessed(seed, 'shadow');
        if (shadow?.what !== 'removed') {
          expect(Math.max(uncertainty, correlated), `seed ${seed}: missed, and not warned of`).toBeGreaterThan(
            NOISE / 2,
          );
          continue;
        }
        const inside = (x: number, y: number) => parts.defect(x, y) < -NOISE / 2;
        const { shade: _, ...polynomial } = fit.surface;
        expect(errorOf(polynomial, parts, inside), `seed ${seed}: what there was`).toBeGreaterThan(0.9);
        left.push(errorOf(fit.surface, parts, inside));
        expect(errorOf(fit.surface, parts), `seed ${seed}: over the frame`).toBeLessThan(0.5);
      }
      // Sides softer than a block: the sharpest of all shadows leave a little more.
      expect(left.filter((share) => share < 0.5).length).toBeGreaterThanOrEqual(0.8 * left.length);
      expect(Math.max(...left)).toBeLessThan(0.8);
      expect(left.length).toBeGreaterThanOrEqual(0.9 * SEEDS.length);
    },
  );

  it.skipIf(!inTurn('no field'))('is seen in no field that has none, whether it glows or not', () => {
    for (const seed of SEEDS)
      for (const kind of ['none', 'glow'] as const) expect(assessed(seed, kind).shadow, `seed ${seed}`).toBeUndefined();
  });

  it('is left in the picture, yet out of the fit, where a recipe says so', () => {
    const parts = drawParts(9001, 'shadow');
    const grid = drawGrid(parts, 9001);
    const [kept, removed] = [false, true].map((removeShadows) => assessSurface(grid, wish({ removeShadows })));
    expect(kept!.shadow!.what).toBe('kept');
    expect(kept!.fit.surface).not.toHaveProperty('shade');
    expect(kept!.fit.surface.coefficients).toEqual(removed!.fit.surface.coefficients);
    expect(kept!.fit.used.some((used, k) => used && kept!.shadow!.blocks[k] === 1)).toBe(false);
  });

  it('is not taken off beside a surface that nobody can be sure of', () => {
    const parts = drawParts(9001, 'shadow');
    const next = randomNumbers(5);
    const waves = Array.from({ length: 8 }, () => [next() * 9, next() * 9, next() * 7] as const);
    // Faint light everywhere that no polynomial follows.
    const light = (x: number, y: number) =>
      waves.reduce((sum, [a, b, c]) => sum + NOISE * Math.sin((a * x) / WIDTH + (b * y) / HEIGHT + c), 0);
    const { shadow, fit } = assessSurface(drawGrid({ ...parts, light }, 1), wish());
    expect(fit.surface.shade).toBeUndefined();
    expect(shadow?.what ?? 'doubtful').toBe('doubtful');
  });
});

describe('the glow of a corner', () => {
  it('is found in its corner alone, if no nebula reaches there', () => {
    const corners = [
      ['top left', 0, 0],
      ['top right', WIDTH, 0],
      ['bottom left', 0, HEIGHT],
      ['bottom right', WIDTH, HEIGHT],
    ] as const;
    let found = 0;
    for (const seed of SEEDS) {
      const parts = drawParts(seed, 'glow');
      const { glows } = assessed(seed, 'glow');
      expect(glows.length, `seed ${seed}`).toBeLessThan(2);
      for (const { corner, height } of glows) {
        const [, x, y] = corners.find(([name]) => name === corner)!;
        const high = parts.defect(x, y);
        expect(high, `seed ${seed}: the corner`).toBeGreaterThan(3.9 * NOISE);
        expect(Math.abs(height / high - 1), `seed ${seed}: the height`).toBeLessThan(0.35);
        found++;
      }
    }
    expect(found).toBeGreaterThanOrEqual(0.8 * SEEDS.length);
  });

  it('is not seen where there is none', () => {
    for (const seed of SEEDS)
      for (const kind of ['none', 'shadow'] as const) expect(assessed(seed, kind).glows, `seed ${seed}`).toEqual([]);
  });
});

describe('the uncertainty of a surface', () => {
  it.skipIf(!inTurn('that differ'))('is what fields that differ in their noise alone scatter by', () => {
    const parts = { sky: () => 300, light: () => 0, defect: () => 0 };
    for (const order of someOf([1, 2, 3, 4] as Order[], 1)) {
      const found = Array.from({ length: 16 }, (_, i) => assessSurface(drawGrid(parts, 500 + i), wish({ order })));
      const told = Math.sqrt(found.reduce((sum, { uncertainty }) => sum + uncertainty ** 2, 0) / found.length);
      const places = Array.from({ length: 100 }, (_, p) => [(p % 10) / 4.5 - 1, Math.floor(p / 10) / 4.5 - 1] as const);
      const variances = places.map(([u, v]) => {
        const heights = found.map(({ fit }) => surfaceAt(fit.surface, u * 0.95, v * 0.95));
        const mean = heights.reduce((a, b) => a + b, 0) / heights.length;
        return heights.reduce((sum, h) => sum + (h - mean) ** 2, 0) / (heights.length - 1);
      });
      const true_ = Math.sqrt(variances.reduce((a, b) => a + b, 0) / variances.length);
      // Cells are large: their rims are left out with them, which makes the jackknife careful.
      expect(told / true_, `order ${order}`).toBeGreaterThan(0.8);
      expect(told / true_, `order ${order}`).toBeLessThan(2.5);
    }
  });

  it('is infinite where the blocks lie in one place, and in no settled number', () => {
    const whole = drawGrid(drawParts(9001, 'none'), 1);
    const few = { ...whole, blocks: whole.blocks.filter(({ x, y }) => x < 70 && y < 30) };
    const found = assessSurface(few, wish({ order: 1 }));
    expect(found.uncertainty).toBe(Number.POSITIVE_INFINITY);
    expect(found.fit.surface).not.toHaveProperty('uncertainty');
  });
});

describe('the order of a surface', () => {
  it.skipIf(!inTurn('certain one'))(
    'is the most certain one where none is stated, and its true error is near the least there is',
    () => {
      for (const seed of someOf(SEEDS, 4)) {
        const parts = drawParts(seed, 'none');
        const grid = drawGrid(parts, seed);
        const { fit, orders, best } = assessed(seed, 'none');
        expect(fit.surface.order).toBe(best.order);
        expect(Math.min(...orders.map(({ uncertainty }) => uncertainty))).toBe(best.uncertainty);
        const errors = orders.map(({ order }) => errorOf(assessSurface(grid, wish({ order })).fit.surface, parts));
        expect(errorOf(fit.surface, parts), `seed ${seed}: ${errors}`).toBeLessThan(Math.min(...errors) + 0.5);
      }
    },
  );
});
