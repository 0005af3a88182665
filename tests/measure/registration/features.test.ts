import { describe, expect, it } from 'vitest';
import { featureFinder } from '../../../lib/measure/registration/features.ts';
import { boxMean, roundness, smoothed } from '../../../lib/measure/registration/smooth.ts';
import { random } from '../../../samples/scene/random.ts';

const [width, height] = [40, 30];
const size = { width, height };
const room = () => new Float32Array(width * height);
const noise = (seed: number) => {
  const rng = random(seed, 3);
  return Float32Array.from({ length: width * height }, () => rng.normal());
};
const of = (value: (x: number, y: number) => number) =>
  Float32Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width)));

describe('smoothing', () => {
  it.each([1, 2, 8, 35])('by boxes gives the mean of the pixels within %d on each side', (r) => {
    const values = noise(1);
    const into = room();
    boxMean(values, size, r, room(), into);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        let [sum, count] = [0, 0];
        for (let v = Math.max(0, y - r); v <= Math.min(height - 1, y + r); v++)
          for (let u = Math.max(0, x - r); u <= Math.min(width - 1, x + r); u++, count++) sum += values[v * width + u]!;
        expect(Math.abs(into[y * width + x]! - sum / count)).toBeLessThan(1e-5);
      }
  });

  it('by 1 4 6 4 1 spreads a point as the products of these numbers', () => {
    const values = room();
    values[15 * width + 20] = 256;
    smoothed(values, size, room());
    const kernel = [1, 4, 6, 4, 1];
    for (let j = -3; j <= 3; j++)
      for (let i = -3; i <= 3; i++)
        expect(values[(15 + j) * width + 20 + i]).toBe((kernel[i + 2] ?? 0) * (kernel[j + 2] ?? 0));
  });
});

describe('roundness', () => {
  const at = (value: (x: number, y: number) => number) => {
    const into = room();
    roundness(of(value), size, into);
    return into[15 * width + 20]!;
  };
  const [u, v] = [(x: number) => x - 20, (y: number) => y - 15];

  it('is the smaller curvature of what bends down in every direction', () => {
    // −x² − 3y² bends by 2 and by 6; turned by 45° as well: −x² − y² + xy by 1 and by 3.
    expect(at((x, y) => -(u(x) ** 2) - 3 * v(y) ** 2)).toBeCloseTo(2, 5);
    expect(at((x, y) => -3 * u(x) ** 2 - v(y) ** 2)).toBeCloseTo(2, 5);
    expect(at((x, y) => -(u(x) ** 2) - v(y) ** 2 + u(x) * v(y))).toBeCloseTo(1, 5);
    expect(at((x, y) => -(u(x) ** 2) - v(y) ** 2 - u(x) * v(y))).toBeCloseTo(1, 5);
  });

  it('is 0 for slopes, ridges, saddles and hollows', () => {
    expect(at((x, y) => 5 * x - 3 * y)).toBe(0);
    expect(at((x) => -(u(x) ** 2))).toBe(0);
    expect(at((x, y) => -((u(x) + v(y)) ** 2))).toBe(0);
    expect(at((x, y) => u(x) ** 2 - v(y) ** 2)).toBe(0);
    expect(at((x, y) => u(x) ** 2 + v(y) ** 2)).toBe(0);
  });

  it('is 0 along the edge', () => {
    const into = room().fill(9);
    roundness(noise(2), size, into);
    for (let x = 0; x < width; x++) expect([into[x], into[(height - 1) * width + x]]).toEqual([0, 0]);
    for (let y = 0; y < height; y++) expect([into[y * width], into[y * width + width - 1]]).toEqual([0, 0]);
  });
});

describe('features', () => {
  const large = { width: 96, height: 80 };
  const rng = random(4, 6);
  const grain = Float64Array.from({ length: 96 * 80 }, () => rng.normal());
  const picture = (value: (x: number, y: number) => number) =>
    grain.map((n, i) => 100 + n + value(i % 96, Math.floor(i / 96)));
  const star = (sx: number, sy: number, peak: number) => (x: number, y: number) =>
    peak * Math.exp(-((x - sx) ** 2 + (y - sy) ** 2) / 4);
  const found = (values: ArrayLike<number>) => featureFinder(large)(values)!;
  const placeOf = (features: Float64Array) => {
    const i = features.indexOf(Math.max(...features));
    return [i % 96, Math.floor(i / 96)];
  };

  it('are stars, whatever pedestal and gradient they stand on', () => {
    const features = found(picture(star(60, 30, 1000)));
    expect(placeOf(features)).toEqual([60, 30]);
    expect(features[30 * 96 + 60]).toBeGreaterThan(0.9);
    expect(Math.max(...features)).toBeLessThanOrEqual(1);
    expect(Math.min(...features)).toBe(0);
    const raised = found(picture((x, y) => star(60, 30, 1000)(x, y) + 1e5 + 10 * x - 20 * y));
    expect(placeOf(raised)).toEqual([60, 30]);
    expect(raised[30 * 96 + 60]).toBeCloseTo(features[30 * 96 + 60]!, 2);
  });

  it('let bright stars count little more than fainter ones', () => {
    const features = found(picture((x, y) => star(30, 40, 100_000)(x, y) + star(65, 40, 1000)(x, y)));
    const [bright, faint] = [features[40 * 96 + 30]!, features[40 * 96 + 65]!];
    expect(bright).toBeGreaterThan(faint);
    expect(bright / faint).toBeLessThan(1.3);
  });

  it('are no filaments', () => {
    const features = found(picture((x, y) => 1000 * Math.exp(-((x - 40) ** 2) / 4) + star(70, 30, 1000)(x, y)));
    expect(placeOf(features)).toEqual([70, 30]);
    for (let y = 12; y < 68; y++) expect(features[y * 96 + 40]).toBeLessThan(0.2);
  });

  it('fade towards the edges', () => {
    const inner = found(picture(star(48, 40, 1000)))[40 * 96 + 48]!;
    const outer = found(picture(star(5, 40, 1000)))[40 * 96 + 5]!;
    // 5.5 of the 12 pixels over which the taper rises.
    expect(outer / inner).toBeCloseTo(0.5 - 0.5 * Math.cos((Math.PI * 5.5) / 12), 1);
  });

  it('leave out what is missing, and need six tenths of data', () => {
    const torn = (share: number) =>
      picture(star(60, 30, 1000)).map((v, i) => (Math.floor(i / 96) >= 80 * (1 - share) ? Number.NaN : v));
    expect(featureFinder(large)(torn(0.45))).toBeUndefined();
    const features = found(torn(0.35));
    expect(placeOf(features)).toEqual([60, 30]);
    expect(features.every(Number.isFinite)).toBe(true);
    for (let i = 60 * 96; i < features.length; i++) expect(features[i]).toBe(0);
  });

  it('are none in a picture without any change', () => {
    expect(featureFinder(large)(new Float64Array(96 * 80).fill(7))).toBeUndefined();
    expect(featureFinder(large)(new Float64Array(96 * 80).fill(Number.NaN))).toBeUndefined();
  });
});
