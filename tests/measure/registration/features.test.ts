import { describe, expect, it } from 'vitest';
import { type Feature, featureOf, ROUND, WAVE } from '../../../lib/measure/registration/features.ts';
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
  const grain = Float32Array.from({ length: 96 * 80 }, () => rng.normal());
  const picture = (value: (x: number, y: number) => number) =>
    grain.map((n, i) => 100 + n + value(i % 96, Math.floor(i / 96)));
  const star = (sx: number, sy: number, peak: number) => (x: number, y: number) =>
    peak * Math.exp(-((x - sx) ** 2 + (y - sy) ** 2) / 4);
  const round = (values: Float32Array) => featureOf(ROUND, { ...large, values })!;
  const wave = (values: Float32Array, scale: number = WAVE.scale) =>
    featureOf({ name: 'wave', scale }, { ...large, values })!;
  const placeOf = ({ values }: Feature) => {
    const i = values.indexOf(Math.max(...values));
    return [i % 96, Math.floor(i / 96)];
  };

  it('are stars, whatever pedestal and gradient they stand on', () => {
    for (const find of [round, wave]) {
      const found = find(picture(star(60, 30, 1000)));
      expect(placeOf(found)).toEqual([60, 30]);
      const raised = find(picture((x, y) => star(60, 30, 1000)(x, y) + 1e5 + 10 * x - 20 * y));
      expect(placeOf(raised)).toEqual([60, 30]);
    }
  });

  it('let bright stars count little more than fainter ones', () => {
    const both = picture((x, y) => star(30, 40, 100_000)(x, y) + star(65, 40, 1000)(x, y));
    for (const { values } of [round(both), wave(both)]) {
      const [bright, faint] = [values[40 * 96 + 30]!, values[40 * 96 + 65]!];
      expect(bright / faint).toBeLessThan(1.3);
      expect(bright / faint).toBeGreaterThan(0.7);
    }
  });

  it('of round kind are no filaments, waves are both', () => {
    const field = picture((x, y) => 1000 * Math.exp(-((x - 40) ** 2) / 4) + star(70, 30, 1000)(x, y));
    expect(placeOf(round(field))).toEqual([70, 30]);
    for (let y = 12; y < 68; y++) expect(round(field).values[y * 96 + 40]).toBeLessThan(0.2);
    expect(wave(field).values[40 * 96 + 40]).toBeGreaterThan(0.5);
  });

  it('hold a dark blob as well as a bright one, and stay within bounds', () => {
    const field = picture((x, y) => star(30, 40, 500)(x, y) - star(65, 40, 500)(x, y));
    const { values } = wave(field);
    expect(values[40 * 96 + 30]! + values[40 * 96 + 65]!).toBeCloseTo(0, 1);
    for (const v of values) expect(Math.abs(v)).toBeLessThanOrEqual(2);
  });

  it('are not drawn by the edge of the data: a flat sky that ends has none there', () => {
    const sky = (torn: boolean) => picture((x) => (torn && x > 60 ? Number.NaN : 0));
    const { values, known } = wave(sky(true));
    for (let i = 0; i < values.length; i++) {
      const x = i % 96;
      // Twice the wave, rounded up, is left out on both sides.
      expect(known[i]).toBe(x >= 3 && x <= 57 && i >= 3 * 96 && i < 77 * 96 ? 1 : 0);
      if (known[i] === 0) expect(values[i]).toBe(0);
    }
    // Away from the tear nothing changes but the weight of the local strength.
    const whole = wave(sky(false));
    for (const x of [20, 30]) expect(values[40 * 96 + x]).toBeCloseTo(whole.values[40 * 96 + x]!, 1);
  });

  it('are the same for a frame known to be whole and for one whose holes lie elsewhere', () => {
    const field = picture(star(30, 40, 300));
    const holed = field.slice();
    holed[79 * 96 + 95] = Number.NaN;
    const [a, b] = [wave(field), wave(holed)];
    expect(b.values[40 * 96 + 30]).toBeCloseTo(a.values[40 * 96 + 30]!, 5);
    expect(b.values[10 * 96 + 4]).toBeCloseTo(a.values[10 * 96 + 4]!, 2);
  });

  it('are none in a picture without any change', () => {
    for (const value of [7, Number.NaN]) {
      const values = new Float32Array(96 * 80).fill(value);
      expect([featureOf(ROUND, { ...large, values }), featureOf(WAVE, { ...large, values })]).toEqual([
        undefined,
        undefined,
      ]);
    }
  });
});
