import { describe, expect, it } from 'vitest';
import { huberLine, theilSen } from '../../lib/prepare/scale/huber-line.ts';
import { random } from '../../samples/scene/random.ts';

/** Points on y = 5 + x/3 with normal errors in both, some of them far off. */
const points = (seed: number, n: number, errors: readonly [number, number], wrong = 0, spread = 100) => {
  const rng = random(seed, 1);
  const [x, y] = [new Float64Array(n), new Float64Array(n)];
  for (let i = 0; i < n; i++) {
    const truth = spread * rng.uniform();
    x[i] = truth + errors[0] * rng.normal();
    y[i] = 5 + truth / 3 + errors[1] * rng.normal() + (i < wrong ? 200 : 0);
  }
  return { x, y };
};

describe('a robust line with errors in both coordinates', () => {
  it('meets points without errors, and is unknown without different x', () => {
    const x = [1, 2, 3, 4, 6, 9];
    const y = x.map((v) => 2 * v - 1);
    expect(theilSen(x, y)).toEqual({ slope: 2, intercept: -1 });
    expect(huberLine(x, y)).toMatchObject({ slope: expect.closeTo(2, 12), intercept: expect.closeTo(-1, 12) });
    expect(huberLine([3, 3, 3], [1, 2, 3]).slope).toBeNaN();
  });

  it('keeps its slope under a fifth of wrong points, and knows how well', () => {
    const scores: number[] = [];
    for (let seed = 1101; seed < 1141; seed++) {
      const { x, y } = points(seed, 300, [12, 4], 60);
      const { slope, doubt } = huberLine(x, y, (4 / 12) ** 2);
      scores.push((slope - 1 / 3) / doubt);
    }
    const rms = Math.sqrt(scores.reduce((sum, z) => sum + z * z, 0) / scores.length);
    expect(rms).toBeGreaterThan(0.6);
    expect(rms).toBeLessThan(1.7);
  });

  it('admits that nothing but noise has no slope', () => {
    for (let seed = 1151; seed < 1171; seed++) {
      const { x, y } = points(seed, 300, [12, 4], 0, 0.001);
      const { slope, doubt } = huberLine(x, y, (4 / 12) ** 2);
      expect(doubt / Math.abs(slope), `seed ${seed}`).toBeGreaterThan(0.2);
    }
  });
});
