import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { fitContinuum, lessContinuum, starLight } from '../../lib/prepare/continuum.ts';

type Star = readonly [x: number, y: number, peak: number];

/** Stars of σ = 1 pixel, whole ones, on a flat sky. */
const sky = (width: number, height: number, level: number, stars: readonly Star[]) => {
  const data = new Float32Array(width * height).fill(level);
  for (const [sx, sy, peak] of stars)
    for (let y = Math.max(0, sy - 5); y <= Math.min(height - 1, sy + 5); y++)
      for (let x = Math.max(0, sx - 5); x <= Math.min(width - 1, sx + 5); x++)
        data[y * width + x]! += peak * Math.exp(-((x - sx) ** 2 + (y - sy) ** 2) / 2);
  return planeSource('sky.fits', { width, height, data });
};
/** Light of a star of peak 1: ΣΣ exp(−(x² + y²)/2) = 2π but for what lies beyond four pixels. */
const FLUX = 2 * Math.PI;
const field = { level: 100, pixelNoise: 1, max: 1100 };

describe('the light of stars', () => {
  it('is summed in both pictures, over the local sky of each, brightest first', async () => {
    const stars: Star[] = [
      [20, 20, 100],
      [50, 30, 400],
      [80, 15, 200],
    ];
    const broad = sky(100, 50, 100, stars);
    const line = sky(
      100,
      50,
      7,
      stars.map(([x, y, peak]) => [x, y, 0.3 * peak]),
    );
    const found = await starLight(line, broad, field);
    expect(found.map((star) => star.broad)).toEqual([400, 200, 100].map((v) => expect.closeTo(v * FLUX, 0)));
    for (const star of found) expect(star.line / star.broad).toBeCloseTo(0.3, 3);
  });

  it('counts of those that stand out and are not saturated', async () => {
    const stars: Star[] = [
      [20, 20, 11.9],
      [40, 20, 12.2],
      [60, 20, 699],
      [80, 20, 701],
    ];
    const broad = sky(100, 40, 100, stars);
    const found = await starLight(broad, broad, field);
    // Twelve times the noise of 1 above the sky; seven tenths of the way to 1100.
    expect(found.map((star) => Math.round(star.broad / FLUX))).toEqual([699, 12]);
  });

  it('counts of those with a whole frame of sky', async () => {
    const [width, height] = [40, 36];
    const at = async (x: number, y: number) => {
      const broad = sky(width, height, 100, [[x, y, 200]]);
      return (await starLight(broad, broad, field)).length;
    };
    expect(await Promise.all([at(7, 7), at(32, 28), at(20, 18)])).toEqual([1, 1, 1]);
    expect(await Promise.all([at(6, 18), at(33, 18), at(20, 6), at(20, 29)])).toEqual([0, 0, 0, 0]);
  });

  it('finds each star once, wherever strips end', async () => {
    const [width, height] = [5000, 60];
    const stars = Array.from({ length: 46 }, (_, i): Star => [20 + 90 * i, 7 + i, 200]);
    const broad = sky(width, height, 100, stars);
    const found = await starLight(broad, broad, field);
    expect(found).toHaveLength(46);
    for (const { broad: light } of found) expect(light).toBeCloseTo(200 * FLUX, 0);
  });

  it('counts a flat top once, and no star where one of the two has no data', async () => {
    const data = new Float32Array(40 * 40).fill(100);
    for (const i of [20 * 40 + 20, 20 * 40 + 21, 21 * 40 + 20, 21 * 40 + 21]) data[i] = 300;
    const twin = planeSource('twin.fits', { width: 40, height: 40, data });
    const found = await starLight(twin, twin, field);
    expect(found).toEqual([{ line: 800, broad: 800 }]);
    // One pixel without data: in the square that is summed, or in the frame around it.
    for (const [x, y] of [
      [17, 23],
      [13, 13],
      [27, 20],
    ] as const) {
      const torn = planeSource('torn.fits', { width: 40, height: 40, data: data.with(y * 40 + x, Number.NaN) });
      expect(await starLight(torn, twin, field)).toEqual([]);
      expect(await starLight(twin, torn, field)).toEqual([]);
    }
  });

  it('stops when asked', async () => {
    const broad = sky(40, 40, 100, []);
    const stopped = starLight(broad, broad, field, { signal: AbortSignal.abort() });
    await expect(stopped).rejects.toMatchObject({ tag: 'cancelled' });
  });
});

describe('the share of broadband light', () => {
  const stars = (count: number) => Array.from({ length: count }, (_, i) => ({ broad: 100 + 10 * i, line: 25 + 2 * i }));

  it('is the slope through the stars, of eight or more', () => {
    expect(fitContinuum(stars(8))).toEqual({ k: expect.closeTo(0.2, 12), stars: 8 });
    expect(fitContinuum(stars(7))).toBeUndefined();
  });

  it('is not known where all stars are equally bright', () => {
    expect(fitContinuum(stars(9).map(({ line }) => ({ broad: 100, line })))).toBeUndefined();
  });

  it('lies between the slopes on y and on x, as the noise of the two says', () => {
    // Slope on x is sxy/sxx, on y its counterpart syy/sxy; a large ratio is all noise in y, a small one all in x.
    const scattered = stars(40).map(({ broad, line }, i) => ({ broad, line: line + 4 * (i % 2 ? 1 : -1) }));
    const of = (ratio: number) => fitContinuum(scattered, ratio)!.k;
    const mean = (values: number[]) => values.reduce((a, b) => a + b, 0) / values.length;
    const [mx, my] = [mean(scattered.map((s) => s.broad)), mean(scattered.map((s) => s.line))];
    const sum = (value: (dx: number, dy: number) => number) =>
      scattered.reduce((total, s) => total + value(s.broad - mx, s.line - my), 0);
    const sxy = sum((dx, dy) => dx * dy);
    expect(of(1e6)).toBeCloseTo(sxy / sum((dx) => dx * dx), 6);
    expect(of(1e-6)).toBeCloseTo(sum((_, dy) => dy * dy) / sxy, 6);
    expect(of(1e6)).toBeLessThan(of(1));
    expect(of(1)).toBeLessThan(of(1e-6));
  });
});

describe('a line less its continuum', () => {
  const source = (file: string, ...data: number[]) =>
    planeSource(file, { width: 2, height: data.length / 2, data: Float32Array.from(data) });
  const line = source('h.fits', 10, 20, 30, 40, Number.NaN, 60);
  const broad = source('r.fits', 100, 104, 96, Number.NaN, 100, 200);

  it('is x − k·(r − level), and undefined where either is', async () => {
    const less = lessContinuum(line, broad, 0.25, 100);
    const into = new Float32Array(6);
    await less.readRows(0, 3, into);
    expect([...into]).toEqual([10, 19, 31, Number.NaN, Number.NaN, 35]);
    const last = new Float32Array(2);
    await less.readRows(2, 1, last);
    expect([...last]).toEqual([Number.NaN, 35]);
  });

  it('is no longer what the file stores', () => {
    const stored = { ...line, type: 'u16', fullScale: 65535, raw: {} } as never;
    const less = lessContinuum(stored, broad, 1, 0);
    expect([less.file, less.type, less.fullScale, less.raw]).toEqual(['h.fits', 'f32', undefined, undefined]);
    expect(lessContinuum({ ...line, type: 'i32' }, broad, 1, 0).type).toBe('f64');
  });
});
