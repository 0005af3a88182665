import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { operations } from '../../lib/smooth/choose-operations.ts';
import { findNoise } from '../../lib/smooth/find-noise.ts';
import { removedRows } from '../../lib/smooth/removed.ts';
import { normals } from './fields.ts';

const [WIDTH, HEIGHT] = [512, 384];
const NOISE = { level: 0, variance: 1, perCount: 0, neighbours: 0 };

/** Filaments: light that changes over a few pixels, and over many. */
const filaments = (shift: number, phase: number) =>
  Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => {
    const [x, y] = [(i % WIDTH) - shift, Math.floor(i / WIDTH)];
    const bent = x + 20 * Math.sin(y / 31 + phase);
    return (
      Math.exp(-(((bent - 40 * Math.round(bent / 40)) / 3) ** 2)) * (1 + Math.sin(x / 70 + phase) * Math.cos(y / 50))
    );
  });

const noisy = (plane: Float32Array, share: number, seed: number) => {
  const normal = normals(seed);
  return plane.map((v) => share * v + normal());
};

/** The weak line less what smoothing takes away, guided by a strong one. */
const smoothed = (weak: Float32Array, strong: Float32Array) => {
  const frame = { width: WIDTH, height: HEIGHT, top: 0, rows: HEIGHT, members: [weak, strong] };
  const [away] = removedRows(
    operations(),
    frame,
    { scales: 4, noise: [NOISE, NOISE], guide: 1, lines: [0] },
    0,
    HEIGHT,
  );
  return weak.map((v, i) => v - away![i]!);
};

const correlation = (a: Float32Array, b: Float32Array): number => {
  const mean = (of: Float32Array) => of.reduce((sum, v) => sum + v, 0) / of.length;
  const [ma, mb] = [mean(a), mean(b)];
  let [ab, aa, bb] = [0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    ab += (a[i]! - ma) * (b[i]! - mb);
    aa += (a[i]! - ma) ** 2;
    bb += (b[i]! - mb) ** 2;
  }
  return ab / Math.sqrt(aa * bb);
};

/** What differs from six pixels to both sides: of noise that is smoothed little else than large waves is left. */
const detail = (plane: Float32Array) => plane.map((v, i) => v - ((plane[i - 6] ?? v) + (plane[i + 6] ?? v)) / 2);

const distance = (a: Float32Array, b: Float32Array) =>
  Math.sqrt(a.reduce((sum, v, i) => sum + (v - b[i]!) ** 2, 0) / a.length);

describe('a guide', () => {
  const truth = filaments(0, 0);
  const weak = noisy(truth, 1, 1);

  it('that shows the same keeps faint structure and loses the noise', () => {
    const found = smoothed(weak, noisy(truth, 40, 2));
    expect(distance(found, truth)).toBeLessThan(0.3 * distance(weak, truth));
    expect(correlation(found, truth)).toBeGreaterThan(0.8);
  });

  it('that lies elsewhere, or shows another field, brings nothing of itself into a line without light', () => {
    const empty = noisy(truth, 0, 4);
    const none = new Float32Array(truth.length);
    for (const strong of [truth, filaments(3, 0), filaments(17, 2), filaments(0, 4.5)]) {
      const found = smoothed(empty, noisy(strong, 40, 5));
      // In units of the line's noise.
      const share = correlation(detail(found), detail(strong)) * distance(detail(found), none);
      expect(Math.abs(share)).toBeLessThan(0.02);
      // What the line has of its own is not lost for it.
      expect(distance(smoothed(weak, noisy(strong, 40, 3)), truth)).toBeLessThan(0.6 * distance(weak, truth));
    }
  });
});

describe('the noise of a line', () => {
  it('is found, its rise with the level and the correlation of neighbours too', async () => {
    for (const [variance, perCount, r] of [
      [4, 0, 0],
      [4, 0.5, 0],
      [100, 0, 0.3],
      [1e-10, 0, 0],
    ] as const) {
      const normal = normals(7 + r);
      const white = Float32Array.from({ length: 700 * 600 }, normal);
      // a·(neighbours) + own, in both directions: correlation r to first order of a, none of second neighbours to a².
      const a = r / 2.2;
      const at = (i: number) => white[i] ?? 0;
      const along = (i: number) => (at(i) + a * (at(i - 1) + at(i + 1))) / Math.sqrt(1 + 2 * a * a);
      const data = white.map((_, i) => {
        const z = (along(i) + a * (along(i - 700) + along(i + 700))) / Math.sqrt(1 + 2 * a * a);
        const level = 30 * Math.sqrt(variance) * (i / white.length);
        return 500 * Math.sqrt(variance) + level + Math.sqrt(variance + perCount * level) * z;
      });
      const found = (await findNoise(planeSource('H', { width: 700, height: 600, data })))!;
      const atLevel = found.variance - perCount * (found.level - 500 * Math.sqrt(variance));
      expect(Math.abs(Math.sqrt(atLevel / variance) - 1)).toBeLessThan(0.05);
      expect(Math.abs(found.perCount - perCount)).toBeLessThan(0.08 * Math.sqrt(variance));
      expect(Math.abs(found.neighbours - (2 * a) / (1 + 2 * a * a))).toBeLessThan(r === 0 ? 1e-9 : 0.06);
    }
  });

  it('is none where there is no noise, or hardly a pixel', async () => {
    const none = planeSource('H', { width: 200, height: 200, data: new Float32Array(40000).fill(3) });
    expect(await findNoise(none)).toBeUndefined();
    expect(await findNoise(planeSource('H', { width: 20, height: 20, data: new Float32Array(400) }))).toBeUndefined();
  });
});
