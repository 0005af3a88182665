import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../lib/plane/least-squares.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { assessSurface } from '../../lib/prepare/background/assess.ts';
import { measureBlocks } from '../../lib/prepare/background/blocks.ts';
import { fitSurface } from '../../lib/prepare/background/fit.ts';
import { laplacianNoise } from '../../lib/prepare/background/pixel-noise.ts';
import {
  surfaceAt,
  surfaceMean,
  surfacePowers,
  withoutSurface,
  withZeroMean,
} from '../../lib/prepare/background/surface.ts';
import pixelGolden from '../golden/prepare/pixel-noise.json' with { type: 'json' };
import golden from '../golden/prepare/surface.json' with { type: 'json' };

const WIDTH = 128;
const HEIGHT = 96;

/** The golden file's noise: a hash of the position, −0.5…0.5. */
const hashed = (x: number, y: number): number => {
  let h = (Math.imul(x, 374761393) + Math.imul(y, 668265263)) >>> 0;
  h = Math.imul(h ^ (h >>> 13), 1274126177) >>> 0;
  return ((h ^ (h >>> 16)) >>> 0) / 2 ** 32 - 0.5;
};

const [c, cu, cuu, cv, cvv, cuv] = golden.truth as [number, number, number, number, number, number];
const truth = (u: number, v: number) => c + cu * u + cuu * u * u + cv * v + cvv * v * v + cuv * u * v;

/** The golden file's picture; u and v run from the first pixel's centre to the last one's. */
const picture = (noise: number, stars: readonly (readonly number[])[]) => {
  const data = new Float64Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++)
    for (let x = 0; x < WIDTH; x++) {
      let value = truth((2 * x) / (WIDTH - 1) - 1, (2 * y) / (HEIGHT - 1) - 1) + noise * hashed(x, y);
      for (const [sx, sy, peak, sigma] of stars)
        value += peak! * Math.exp(-((x - sx!) ** 2 + (y - sy!) ** 2) / (2 * sigma! ** 2));
      data[y * WIDTH + x] = value;
    }
  return wideSource(WIDTH, HEIGHT, data);
};

/** A float64 source, so that nothing is rounded on the way. */
const wideSource = (width: number, height: number, data: Float64Array) => ({
  ...planeSource('invented', { width, height, data: new Float32Array(0) }),
  type: 'f64' as const,
  async readRows(y: number, rows: number, into: Float32Array | Float64Array) {
    into.set(data.subarray(y * width, (y + rows) * width));
  },
});

/** Coefficients in the golden file's order: 1, u, u², v, v², uv. */
const goldenOrder = ([a, u, v, uu, uv, vv]: readonly number[]) => [a, u, uu, v, vv, uv] as number[];

const goldenPoints = async (source: ReturnType<typeof picture>) => {
  const { blocks, size } = await measureBlocks(source);
  expect(size).toBe(16);
  return blocks.map(({ x, y, level }) => ({
    u: (2 * x) / (WIDTH - 1) - 1,
    v: (2 * y) / (HEIGHT - 1) - 1,
    value: level,
  }));
};

const near = (found: readonly number[], wanted: readonly number[], tolerance: number) =>
  found.forEach((value, k) => {
    expect(Math.abs(value - wanted[k]!), `coefficient ${k}`).toBeLessThan(tolerance);
  });

describe('background surface', () => {
  it('draws the noise of the golden file', () => {
    expect([hashed(0, 0), hashed(1, 0)]).toEqual([golden.noiseSamples[0], golden.noiseSamples[1]]);
  });

  it('measures the blocks that astropy measures', async () => {
    const { blocks } = await measureBlocks(picture(2, golden.stars));
    expect(blocks.length).toBe(golden.blocks);
    golden.firstBlocks.forEach(([x, y, level, noise], k) => {
      expect([blocks[k]!.x, blocks[k]!.y]).toEqual([x, y]);
      expect(blocks[k]!.level).toBeCloseTo(level!, 10);
      expect(blocks[k]!.noise).toBeCloseTo(noise!, 10);
    });
  });

  it('is the astropy fit where nothing is rejected', async () => {
    const points = await goldenPoints(picture(2, golden.stars));
    const terms = points.map(({ u, v }) => surfacePowers(2).map(([i, j]) => u ** i * v ** j));
    near(
      goldenOrder(
        leastSquares(
          terms,
          points.map((p) => p.value),
        ),
      ),
      golden.plain,
      golden.tolerance,
    );
  });

  it('rejects the blocks of three planted stars', async () => {
    const { surface, used } = fitSurface(await goldenPoints(picture(2, golden.stars)), 2, 'both');
    expect(used.filter(Boolean).length).toBe(golden.robustKept);
    near(goldenOrder(surface.coefficients), golden.robust, golden.tolerance);
  });

  it.each([1, 2, 3, 4])('finds a noise-free polynomial of order %i exactly', (order) => {
    const coefficients = surfacePowers(order).map(([i, j]) => 5 / (1 + i + 2 * j) - i * j);
    const points = Array.from({ length: 300 }, (_, k) => {
      const [u, v] = [hashed(k, 1) * 2, hashed(k, 2) * 2];
      return { u, v, value: surfaceAt({ order, coefficients }, u, v) };
    });
    for (const reject of ['both', 'bright'] as const)
      near(fitSurface(points, order, reject).surface.coefficients, coefficients, 1e-12);
  });

  it('has mean 0 over the frame once its constant is set so', () => {
    const surface = withZeroMean({ order: 4, coefficients: surfacePowers(4).map((_, k) => k - 3) });
    let sum = 0;
    for (let y = 0; y < 400; y++)
      for (let x = 0; x < 400; x++) sum += surfaceAt(surface, (2 * x + 1) / 400 - 1, (2 * y + 1) / 400 - 1);
    expect(Math.abs(sum / 160000)).toBeLessThan(1e-3);
    expect(Math.abs(surfaceMean(surface))).toBeLessThan(1e-12);
  });

  it('is subtracted row by row as its formula says, at any height of the rows', async () => {
    const surface = { order: 3, coefficients: [0.5, -2, 1, 3, -1, 0.25, 0.5, -0.75, 1.5, 2] };
    const source = withoutSurface(picture(2, []), surface);
    const whole = new Float64Array(WIDTH * HEIGHT);
    await source.readRows(0, HEIGHT, whole);
    const plain = new Float64Array(WIDTH * HEIGHT);
    await picture(2, []).readRows(0, HEIGHT, plain);
    for (const [x, y] of [
      [0, 0],
      [127, 95],
      [64, 11],
    ] as const) {
      const wanted = plain[y * WIDTH + x]! - surfaceAt(surface, (2 * x + 1) / WIDTH - 1, (2 * y + 1) / HEIGHT - 1);
      expect(whole[y * WIDTH + x]).toBeCloseTo(wanted, 10);
    }
    const row = new Float64Array(WIDTH);
    await source.readRows(50, 1, row);
    expect(row).toEqual(whole.slice(50 * WIDTH, 51 * WIDTH));
  });

  it('leaves undefined pixels undefined and negative ones negative', async () => {
    const data = new Float32Array([Number.NaN, -5, 3, Number.NEGATIVE_INFINITY]);
    const into = new Float32Array(4);
    await withoutSurface(planeSource('x', { width: 2, height: 2, data }), {
      order: 1,
      coefficients: [1, 0, 0],
    }).readRows(0, 2, into);
    expect([...into]).toEqual([Number.NaN, -6, 2, Number.NEGATIVE_INFINITY]);
  });

  it('takes pixels only from where boxes let it', async () => {
    const source = picture(0, golden.stars);
    const { blocks } = await measureBlocks(source, {
      include: [{ x: 0, y: 0, width: 64, height: 96 }],
      exclude: [{ x: 0, y: 0, width: 64, height: 32 }],
    });
    expect(blocks.every(({ x, y }) => x < 64 && y > 31)).toBe(true);
    expect(blocks.length).toBe(16);
    const small = await measureBlocks(source, { include: [{ x: 30, y: 30, width: 4, height: 4 }] });
    expect(small.blocks.every(({ count }) => count >= 16)).toBe(true);
  });

  it('removes a gradient to nothing where there is no noise', async () => {
    const grid = await measureBlocks(picture(0, []));
    const { surface, rms } = assessSurface(grid, {
      order: 2,
      reject: 'bright',
      shadows: true,
      removeShadows: true,
    }).fit;
    // Block medians of a curved surface are not its values at their centres: that is all that is left.
    expect(rms).toBeLessThan(0.02);
    const into = new Float64Array(WIDTH * HEIGHT);
    await withoutSurface(picture(0, []), surface).readRows(0, HEIGHT, into);
    expect(Math.max(...into) - Math.min(...into)).toBeLessThan(0.2);
  });
});

describe('noise from pixel to pixel', () => {
  const flat = Float64Array.from(pixelGolden.image.flat());
  const box = { x: 0, y: 0, width: 8, height: 6 };
  it('agrees with the published formula', () =>
    expect(laplacianNoise(flat, 8, box)).toBeCloseTo(pixelGolden.noise, 12));
  it('does not see a plane', () =>
    expect(
      laplacianNoise(
        flat.map((_, i) => 3 * (i % 8) - 2 * Math.floor(i / 8)),
        8,
        box,
      ),
    ).toBeLessThan(1e-13));
  it('is unknown where nothing has all its neighbours', () =>
    expect(laplacianNoise(flat, 8, { ...box, height: 2 })).toBeNaN());
});
