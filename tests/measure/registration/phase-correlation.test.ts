import { describe, expect, it } from 'vitest';
import { createCorrelator, phaseShift } from '../../../lib/measure/registration/phase-correlation.ts';
import { random } from '../../../samples/scene/random.ts';
import golden from '../../golden/measure/phase-correlation.json' with { type: 'json' };

const { size, gaussians, cases, tolerance } = golden;

const scene = (dx: number, dy: number) => {
  const picture = new Float64Array(size * size);
  for (const [x, y, height, width] of gaussians as [number, number, number, number][])
    for (let v = 0; v < size; v++)
      for (let u = 0; u < size; u++)
        picture[v * size + u]! += height * Math.exp(-((u - x - dx) ** 2 + (v - y - dy) ** 2) / (2 * width * width));
  return picture;
};

const noise = (n: number, seed: number) => {
  const rng = random(seed, 5);
  return Float64Array.from({ length: n * n }, () => rng.normal());
};

describe('phase correlation', () => {
  const correlator = createCorrelator(size);

  it.each(cases)('finds the shift ($dx, $dy) as scikit-image does, and as planted', ({ dx, dy, phase, plain }) => {
    const found = phaseShift(correlator, scene(0, 0), scene(dx, dy))!;
    // Its answers are rounded to hundredths; those by unweighted phases are off by up to two of them.
    for (const [[y, x], rounding] of [
      [plain, 0.005],
      [phase, 0.02],
    ] as [[number, number], number][]) {
      expect(Math.abs(found.dx + x)).toBeLessThanOrEqual(tolerance + rounding);
      expect(Math.abs(found.dy + y)).toBeLessThanOrEqual(tolerance + rounding);
    }
    expect(found.dx).toBeCloseTo(dx, 2);
    expect(found.dy).toBeCloseTo(dy, 2);
    expect(found.significance).toBeGreaterThan(20);
  });

  it('knows the exact peak of a picture on itself', () => {
    const found = phaseShift(createCorrelator(64), noise(64, 1), noise(64, 1))!;
    expect(found.peak).toBeCloseTo(1, 10);
    expect(Math.abs(found.dx)).toBeLessThan(1e-9);
    expect(Math.abs(found.dy)).toBeLessThan(1e-9);
  });

  it('calls independent noise insignificant, whatever its peak', () => {
    for (let seed = 1; seed <= 20; seed++)
      expect(phaseShift(correlator, noise(size, seed), noise(size, seed + 100))!.significance).toBeLessThan(7);
  });

  it('looks no further than asked', () => {
    const found = phaseShift(correlator, scene(0, 0), scene(8, 0), [4, 4])!;
    expect(Math.abs(found.dx)).toBeLessThanOrEqual(4.5);
  });

  it('finds nothing in an empty picture', () => {
    expect(phaseShift(correlator, new Float64Array(size * size), scene(0, 0))).toBeUndefined();
  });
});
