import { describe, expect, it } from 'vitest';
import { createFiller } from '../../lib/stars/fill.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

const patchOf = createFiller();

const filledFrom = (values: Float64Array, known: Float64Array, width: number, height: number) => {
  const patch = patchOf(width, height);
  patch.values.set(values);
  patch.known.set(known);
  return patch.fill();
};

describe('filling what is not known', () => {
  it('keeps what is known, and stays within it', () => {
    const next = randomNumbers(21);
    for (let i = 0; i < 60; i++) {
      const [width, height] = [2 + Math.floor(40 * next()), 2 + Math.floor(40 * next())];
      const values = Float64Array.from({ length: width * height }, () => 100 * next());
      const share = next();
      const known = values.map(() => (next() < share ? 1 : 0));
      known[Math.floor(next() * known.length)] = 1;
      const filled = filledFrom(values, known, width, height)!;
      const seen = [...values].filter((_, p) => known[p] === 1);
      for (const [p, value] of filled.entries()) {
        if (known[p] === 1) expect(value).toBe(values[p]);
        else {
          expect(value).toBeGreaterThanOrEqual(Math.min(...seen) - 1e-9);
          expect(value).toBeLessThanOrEqual(Math.max(...seen) + 1e-9);
        }
      }
    }
  });

  it('goes on evenly across a hole in a slope', () => {
    const [width, height] = [41, 33];
    const values = Float64Array.from({ length: width * height }, (_, i) => 3 * (i % width) - 2 * Math.floor(i / width));
    const hole = (i: number) => ((i % width) - 20) ** 2 + (Math.floor(i / width) - 16) ** 2 < 49;
    const known = values.map((_, i) => (hole(i) ? 0 : 1));
    const filled = filledFrom(values, known, width, height)!;
    // The slope changes by 70 over the hole.
    for (const [i, value] of filled.entries()) expect(Math.abs(value - values[i]!)).toBeLessThan(7);
  });

  it('says so where nothing is known', () => {
    expect(filledFrom(new Float64Array(12), new Float64Array(12), 4, 3)).toBeUndefined();
  });
});
