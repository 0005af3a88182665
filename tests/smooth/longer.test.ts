import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { findNoise } from '../../lib/smooth/find-noise.ts';
import { longerExposed, strengthLeaving } from '../../lib/smooth/longer.ts';
import { noiseLeft } from '../../lib/smooth/noise-model.ts';
import { drawStack, lineTruth, noisePlane } from '../../samples/scene/index.ts';

const SCENE = { width: 360, height: 240, gradient: false, coverage: false };

const pixelsOf = async (source: PlaneSource): Promise<Float32Array> => {
  const data = new Float32Array(source.width * source.height);
  await source.readRows(0, source.height, data);
  return data;
};

/** The root mean square of x − truth over the pixels in use. */
const error = (x: Float32Array, truth: Float32Array, used: readonly number[]): number =>
  Math.sqrt(used.reduce((sum, i) => sum + (x[i]! - truth[i]!) ** 2, 0) / used.length);

/** Pixels whose surroundings of 17 × 17 pixels rise and fall by less than this: background and even nebula. */
const calm = (truth: Float32Array, spread: number): number[] => {
  const { width, height } = SCENE;
  const found: number[] = [];
  for (let y = 8; y < height - 8; y++)
    for (let x = 8; x < width - 8; x++) {
      let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
      for (let dy = -8; dy <= 8; dy++)
        for (let dx = -8; dx <= 8; dx += 2) {
          const v = truth[(y + dy) * width + x + dx]!;
          low = Math.min(low, v);
          high = Math.max(high, v);
        }
      if (high - low < spread) found.push(y * width + x);
    }
  return found;
};

describe('a line after more hours', () => {
  it('leaves any share of the noise that smoothing can leave', () => {
    for (const share of [0.3, 0.5, 0.8, 0.99])
      for (const neighbours of [0, 0.25])
        expect(noiseLeft(4, neighbours, strengthLeaving(share, 4, neighbours))).toBeCloseTo(share, 6);
    expect(strengthLeaving(0.001, 4, 0)).toBe(1);
  });

  it('has the noise of the longer exposure in even places, and nowhere promises more', async () => {
    for (const line of ['S', 'O'] as const) {
      const now = lineTruth({ ...SCENE, seed: 3 }, line);
      const expected = noisePlane(now);
      const all = Array.from(now.mean.keys());
      const even = calm(now.mean, 1.5 * expected[0]!);
      expect(even.length).toBeGreaterThan(400);
      const wanted = Math.sqrt(even.reduce((sum, i) => sum + expected[i]! ** 2, 0) / even.length);
      const squares: Record<number, number> = {};
      for (const draw of [11, 12]) {
        const source = planeSource(line, { ...SCENE, data: drawStack(now, draw) });
        const noise = (await findNoise(source))!;
        const today = error(await pixelsOf(source), now.mean, all);
        for (const times of [1.5, 4]) {
          const made = await pixelsOf(longerExposed(source, noise, Math.sqrt(1 / times)));
          squares[times] = (squares[times] ?? 0) + error(made, now.mean, even) ** 2 / 2;
          const ratio = error(made, now.mean, all) / today;
          expect(ratio).toBeLessThan(0.95);
          // Noise upon structure is left: never less than the real exposure has.
          expect(ratio).toBeGreaterThan(0.97 * Math.sqrt(1 / times));
        }
      }
      for (const [times, square] of Object.entries(squares)) {
        expect(Math.abs(Math.sqrt(square * Number(times)) / wanted - 1)).toBeLessThan(0.06);
      }
    }
  });
});
