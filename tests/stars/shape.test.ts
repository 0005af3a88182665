import { describe, expect, it } from 'vitest';
import {
  ellipticityOf,
  fwhmOf,
  lightAt,
  profileOf,
  radiusAt,
  radiusSquared,
  roundShape,
  type StarShape,
} from '../../lib/stars/shape.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

/** Moffat 1969, Astronomy & Astrophysics 3, 455, eq. 7: I(r) = I₀ (1 + (r/α)²)^−β. */
const moffat = (shape: StarShape, dx: number, dy: number) => (1 + radiusSquared(shape, dx, dy)) ** -shape.beta;

const shapes = (seed: number, count: number): StarShape[] => {
  const next = randomNumbers(seed);
  return Array.from({ length: count }, () => ({
    alpha: 0.5 + 5 * next(),
    beta: 1.8 + 4 * next(),
    e1: 0.8 * (next() - 0.5),
    e2: 0.8 * (next() - 0.5),
  }));
};

describe('the shape of stars', () => {
  it('has half of its light at half of its width', () => {
    for (const fwhm of [1.5, 2.6, 6]) {
      const shape = roundShape(fwhm);
      expect(fwhmOf(shape)).toBeCloseTo(fwhm, 10);
      expect(moffat(shape, fwhm / 2, 0)).toBeCloseTo(0.5, 10);
      expect(moffat(shape, 0, -fwhm / 2)).toBeCloseTo(0.5, 10);
    }
  });

  it('is as long and as turned as it says', () => {
    for (const shape of shapes(3, 40)) {
      const { flattening, angle } = ellipticityOf(shape);
      const turn = (angle * Math.PI) / 180;
      // The distance at which r² is 1, along the long axis and across it.
      const reach = (phi: number) => 1 / Math.sqrt(radiusSquared(shape, Math.cos(phi), Math.sin(phi)));
      const [long, short] = [reach(turn), reach(turn + Math.PI / 2)];
      expect(short / long).toBeCloseTo(1 - flattening, 10);
      expect(Math.sqrt(long * short) * 2 * Math.sqrt(2 ** (1 / shape.beta) - 1)).toBeCloseTo(fwhmOf(shape), 10);
    }
  });

  it('is looked up within 3e-5 of its peak', () => {
    const next = randomNumbers(4);
    for (const shape of shapes(5, 40)) {
      const profile = profileOf(shape, 64);
      for (let i = 0; i < 200; i++) {
        const [r, phi] = [64 * next() ** 2, 2 * Math.PI * next()];
        const [dx, dy] = [r * Math.cos(phi), r * Math.sin(phi)];
        expect(Math.abs(lightAt(profile, dx, dy) - moffat(shape, dx, dy))).toBeLessThan(3e-5);
      }
    }
  });

  it('ends where its light has fallen to a level, along its long axis', () => {
    for (const shape of shapes(6, 40)) {
      const radius = radiusAt(shape, 1000, 2);
      const { angle } = ellipticityOf(shape);
      const turn = (angle * Math.PI) / 180;
      expect(1000 * moffat(shape, radius * Math.cos(turn), radius * Math.sin(turn))).toBeCloseTo(2, 8);
      expect(radiusAt(shape, 2, 2)).toBe(0);
    }
  });
});
