import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../lib/plane/least-squares.ts';
import { pseudoInverse } from '../../lib/plane/svd.ts';
import { fitSurface, termCount } from '../../lib/prepare/background/fit.ts';
import { laplacianNoise } from '../../lib/prepare/background/pixel-noise.ts';
import { surfaceAt, surfacePowers } from '../../lib/prepare/background/surface.ts';
import { deming, robustLine } from '../../lib/prepare/scale/line.ts';

describe('rejection of what is no background', () => {
  /** Twenty points at −1, twenty at 1 and one that stands out; the surface is a constant. */
  const fitted = (value: number, reject: 'bright' | 'both') => {
    const values = [...Array<number>(20).fill(-1), ...Array<number>(20).fill(1), value];
    return fitSurface(
      values.map((v, i) => ({ u: i / 41, v: 0, value: v })),
      0,
      reject,
    );
  };

  // With a point at d the mean is d/41 and the medians of the residuals are near 1: σ is about 1.5.
  it.each([
    [2.5, 'bright', true],
    [4, 'bright', false],
    [-4, 'bright', true],
    [-12, 'bright', false],
    [4, 'both', true],
    [-4, 'both', true],
    [12, 'both', false],
    [-12, 'both', false],
  ] as const)('of a point at %d, for %s: it stays: %s', (value, reject, stays) => {
    const { surface, used, rms } = fitted(value, reject);
    expect(used.slice(0, 40).every(Boolean)).toBe(true);
    expect(used[40]).toBe(stays);
    expect(surface.coefficients[0]).toBeCloseTo(stays ? value / 41 : 0, 12);
    // Mean square of all about their mean.
    expect(rms).toBeCloseTo(Math.sqrt(stays ? (40 + value ** 2) / 41 - (value / 41) ** 2 : 1), 12);
  });

  it('always leaves twice as many points as coefficients', () => {
    const points = fc.array(
      fc.record({
        u: fc.double({ min: -1, max: 1, noNaN: true }),
        v: fc.double({ min: -1, max: 1, noNaN: true }),
        value: fc.integer({ min: -5, max: 5 }).map((n) => n ** 9),
      }),
      { minLength: 6, maxLength: 16 },
    );
    fc.assert(
      fc.property(points, fc.constantFrom('bright', 'both'), (some, reject) => {
        expect(fitSurface(some, 1, reject).used.filter(Boolean).length).toBeGreaterThanOrEqual(6);
      }),
      { numRuns: 300 },
    );
  });

  it('begins with as many points as coefficients, and not with fewer', () => {
    const corners = [
      { u: -1, v: -1, value: 1 },
      { u: 1, v: -1, value: 3 },
      { u: -1, v: 1, value: 5 },
    ];
    // 1, 3 and 5 at three corners: 4 + u + 2v.
    const { surface, rms } = fitSurface(corners, 1, 'both');
    expect(surface.coefficients).toEqual([4, 1, 2].map((c) => expect.closeTo(c, 12)));
    expect(rms).toBeLessThan(1e-12);
    expect(() => fitSurface(corners.slice(1), 1, 'both')).toThrow(RangeError);
    expect(() => fitSurface([], 1, 'both')).toThrow(RangeError);
  });

  it('knows how many coefficients there are', () => {
    expect([0, 1, 2, 3, 4].map(termCount)).toEqual([1, 3, 6, 10, 15]);
    for (const order of [1, 2, 3, 4]) expect(surfacePowers(order)).toHaveLength(termCount(order));
    // 1, u, v, u², uv, v² at u = 2, v = 3.
    expect(surfaceAt({ order: 2, coefficients: [1, 10, 100, 1000, 1e4, 1e5] }, 2, 3)).toBe(
      1 + 20 + 300 + 4000 + 6e4 + 9e5,
    );
  });
});

describe('least squares', () => {
  const entry = fc.integer({ min: -9, max: 9 });
  const systems = fc.integer({ min: 1, max: 4 }).chain((columns) =>
    fc.array(fc.tuple(fc.array(entry, { minLength: columns, maxLength: columns }), entry), {
      minLength: columns,
      maxLength: 12,
    }),
  );

  it('leave a remainder at right angles to every column', () => {
    fc.assert(
      fc.property(systems, (system) => {
        const [rows, b] = [system.map(([row]) => row), system.map(([, value]) => value)];
        const x = leastSquares(rows, b);
        const rest = rows.map((row, i) => b[i]! - row.reduce((sum, v, k) => sum + v * x[k]!, 0));
        const shortest = pseudoInverse(rows).map((row) => row.reduce((sum, v, k) => sum + v * b[k]!, 0));
        const least = rows.map((row, i) => b[i]! - row.reduce((sum, v, k) => sum + v * shortest[k]!, 0));
        const square = (values: readonly number[]) => values.reduce((sum, v) => sum + v * v, 0);
        expect(square(rest)).toBeCloseTo(square(least), 6);
      }),
      { numRuns: 200 },
    );
  });

  it.each([1, -1])('keep their digits where a column lies almost along the first row: %d', (sign) => {
    // Two rows for two numbers: x₀ = sign, and 10⁻⁹ x₀ + x₁ = 2.
    const [first, second] = leastSquares(
      [
        [sign, 0],
        [1e-9, 1],
      ],
      [1, 2],
    );
    expect(first).toBeCloseTo(sign, 14);
    expect(second).toBeCloseTo(2 - sign * 1e-9, 14);
  });

  it('give nothing to columns that say the same as others', () => {
    const twice = [1, 2, 3].map((v) => [v, v]);
    expect(leastSquares(twice, [2, 4, 6])).toEqual([expect.closeTo(2, 12), 0]);
    expect(leastSquares([[0], [0]], [1, 2])).toEqual([0]);
    expect(leastSquares([], [])).toEqual([]);
  });
});

describe('lines', () => {
  it('may be level or upright, and are none through one point', () => {
    expect(deming([1, 2, 3], [5, 5, 5])).toEqual({ slope: 0, intercept: 5 });
    expect(Math.abs(deming([2, 2, 2], [1, 2, 3]).slope)).toBe(Number.POSITIVE_INFINITY);
    expect(deming([2, 2], [3, 3]).slope).toBeNaN();
  });

  it('through many points are found, and tell their scatter', () => {
    const x = Array.from({ length: 5000 }, (_, i) => i / 100);
    // Half a unit up and down by turns, and one in ten far off.
    const y = x.map((v, i) => 3 - 2 * v + (i % 10 === 7 ? 900 : i % 2 ? 0.5 : -0.5));
    const { slope, intercept, count, scatter } = robustLine(x, y, 1e12);
    expect(count).toBe(4500);
    // Without the far ones five of nine points lie half a unit below: their mean is −0.5/9.
    expect(slope).toBeCloseTo(-2, 3);
    expect(intercept).toBeCloseTo(3 - 0.5 / 9, 2);
    expect(scatter / 1.482602218505602).toBeCloseTo(0.5, 0.5);
  });

  it('have no slope where x does not vary', () => {
    expect(robustLine([1, 1, 1], [1, 2, 3]).slope).toBeNaN();
  });
});

describe('noise from pixel to pixel', () => {
  const stride = 12;
  const data = Float64Array.from({ length: stride * 10 }, (_, i) => (i * i * 7919) % 101);
  /** The mask of the published formula, at one pixel. */
  const masked = (x: number, y: number, of: ArrayLike<number>) => {
    let sum = 0;
    for (const [j, row] of [
      [1, -2, 1],
      [-2, 4, -2],
      [1, -2, 1],
    ].entries()) // prettier-ignore
      for (const [i, weight] of row.entries()) sum += weight * of[(y + j - 1) * stride + x + i - 1]!;
    return Math.abs(sum);
  };

  it.each([1, 2, 3])('looks at every %d. pixel of its box that has all neighbours in it', (step) => {
    const box = { x: 3, y: 0, width: 8, height: 7 };
    const seen: number[] = [];
    for (let y = 1; y < 6; y += step) for (let x = 4; x < 10; x += step) seen.push(masked(x, y, data));
    const mean = seen.reduce((a, b) => a + b, 0) / seen.length;
    expect(laplacianNoise(data, stride, box, step)).toBeCloseTo((Math.sqrt(Math.PI / 2) / 6) * mean, 10);
  });

  it('passes over pixels beside one without data', () => {
    const box = { x: 0, y: 0, width: 5, height: 3 };
    const torn = data.with(0, Number.NaN);
    // Of three pixels the first touches the corner.
    const mean = (masked(2, 1, data) + masked(3, 1, data)) / 2;
    expect(laplacianNoise(torn, stride, box)).toBeCloseTo((Math.sqrt(Math.PI / 2) / 6) * mean, 10);
    expect(
      laplacianNoise(
        data.map(() => Number.NaN),
        stride,
        box,
      ),
    ).toBeNaN();
  });
});
