import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { correlation, pairedLevels } from '../../lib/prepare/scale/pairs.ts';

const block = (x: number, y: number, level: number, count = 100) => ({ x, y, level, count, noise: 1, pixelNoise: 1 });
const grid = (...blocks: ReturnType<typeof block>[]) => ({ width: 64, height: 48, size: 16, blocks });

describe('levels of two pictures', () => {
  it('are paired where blocks lie on the same pixels', () => {
    const a = grid(block(7.5, 7.5, 1, 100), block(23.5, 7.5, 2, 200), block(7.5, 23.5, 3, 60), block(55.5, 39.5, 4));
    const b = grid(block(7.5, 23.5, 30), block(23.5, 7.5, 20), block(7.5, 7.5, 10), block(39.5, 7.5, 50));
    const { x, y, looked } = pairedLevels(a, b);
    expect([...x]).toEqual([1, 2, 3]);
    expect([...y]).toEqual([10, 20, 30]);
    expect(looked).toBe(120);
  });

  it('are not where half a block is missing in one', () => {
    const here = [
      [7.5, 7.9],
      [7.1, 7.5],
      [8, 7.5],
      [7.5, 7],
    ].map(([x, y]) => pairedLevels(grid(block(7.5, 7.5, 1)), grid(block(x!, y!, 2))).x.length);
    expect(here).toEqual([1, 1, 0, 0]);
  });

  it('may have nothing in common', () => {
    expect(pairedLevels(grid(block(7.5, 7.5, 1)), grid())).toEqual({
      x: new Float64Array(0),
      y: new Float64Array(0),
      looked: 0,
    });
  });
});

describe('correlation', () => {
  it('is that of numbers worked by hand', () => {
    expect(correlation([1, 2, 3], [2, 4, 6])).toBeCloseTo(1, 15);
    expect(correlation([1, 2, 3], [5, 3, 1])).toBeCloseTo(-1, 15);
    // Deviations −1 0 1 and −1 1 0: 1 over √(2 · 2).
    expect(correlation([1, 2, 3], [1, 3, 2])).toBeCloseTo(0.5, 15);
    // Deviations −2 −1 0 1 2 and 2 −1 −2 −1 2: 0.
    expect(correlation([1, 2, 3, 4, 5], [4, 1, 0, 1, 4])).toBeCloseTo(0, 15);
  });

  it('is 0 where one of the two does not vary', () => {
    expect(correlation([1, 2, 3], [4, 4, 4])).toBe(0);
    expect(correlation([4, 4, 4], [1, 2, 3])).toBe(0);
    expect(correlation([], [])).toBe(0);
  });

  it('does not depend on units', () => {
    const points = fc.array(fc.tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: -99, max: 99 })), {
      minLength: 2,
      maxLength: 20,
    });
    fc.assert(
      fc.property(points, (pairs) => {
        const [x, y] = [pairs.map(([v]) => v), pairs.map(([, v]) => v)];
        const scaled = x.map((v) => 3 * v + 7);
        expect(correlation(scaled, y)).toBeCloseTo(correlation(x, y), 9);
        expect(correlation(y, x)).toBeCloseTo(correlation(x, y), 12);
        expect(Math.abs(correlation(x, y))).toBeLessThan(1 + 1e-12);
      }),
    );
  });
});
