import { describe, expect, it } from 'vitest';
import { normalDeviates, polarNormal } from '../../lib/hours/random.ts';

const drawn = (seed: number, count: number) => {
  const normal = normalDeviates(seed);
  return Array.from({ length: count }, normal);
};
const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;

describe('normal deviates', () => {
  it('come two from each point within the unit circle; its rim and its centre are passed over', () => {
    const points = [0, 0.5, 0.5, 0.5, 0.99, 0.99, 0.75, 0.25];
    let next = 0;
    const normal = polarNormal(() => points[next++]!);
    // x = ½, y = −½: s = ½, and x·√(−2 ln s / s) = ½·√(4 ln 2).
    expect(normal()).toBeCloseTo(Math.sqrt(Math.LN2), 15);
    expect(next).toBe(8);
    expect(normal()).toBeCloseTo(-Math.sqrt(Math.LN2), 15);
    expect(next).toBe(8);
  });

  it('have the moments of the normal distribution, and no memory', () => {
    const count = 100_000;
    const values = drawn(7, count);
    const moment = (k: number) => mean(values.map((v) => v ** k));
    // Five times the standard errors √(1/n), √(2/n), √(15/n), √(96/n) and √(1/n).
    expect(Math.abs(moment(1))).toBeLessThan(5 * Math.sqrt(1 / count));
    expect(Math.abs(moment(2) - 1)).toBeLessThan(5 * Math.sqrt(2 / count));
    expect(Math.abs(moment(3))).toBeLessThan(5 * Math.sqrt(15 / count));
    expect(Math.abs(moment(4) - 3)).toBeLessThan(5 * Math.sqrt(96 / count));
    for (const lag of [1, 2, 3]) {
      const products = values.slice(lag).map((v, i) => v * values[i]!);
      expect(Math.abs(mean(products))).toBeLessThan(5 * Math.sqrt(1 / count));
    }
  });

  it('are the same for the same seed, and unrelated for the next', () => {
    const count = 10_000;
    const [one, two] = [drawn(1, count), drawn(2, count)];
    expect(drawn(1, 50)).toEqual(one.slice(0, 50));
    expect(Math.abs(mean(one.map((v, i) => v * two[i]!)))).toBeLessThan(5 * Math.sqrt(1 / count));
  });
});
