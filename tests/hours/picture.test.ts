import { describe, expect, it } from 'vitest';
import { noiseByValue, sameStepBack, withFewerHours } from '../../lib/hours/fewer.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { meanWeights, smoothAsHours } from '../../lib/hours/smooth.ts';
import { drawStack, LINES, noiseOf, noisePlane } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import { calmWindow, cut, truthOf } from './scene.ts';

const SIZE = 200;
const plane = (data: Float32Array, width = SIZE) => ({ width, height: data.length / width, data });
const noisy = (sigma: number) => {
  const normal = normalDeviates(4);
  return plane(Float32Array.from({ length: SIZE * SIZE }, () => 100 + sigma * normal()));
};
const deviation = (data: ArrayLike<number>, from = (_: number) => 100) => {
  const differences = Array.from(data, (v, i) => v - from(i)).filter((d) => !Number.isNaN(d));
  const mean = differences.reduce((a, b) => a + b, 0) / differences.length;
  return Math.sqrt(differences.reduce((s, d) => s + (d - mean) ** 2, 0) / differences.length);
};

describe('smoothing as more hours would', () => {
  it.each([1, 0.9, 0.5, 1 / 3, 0.2, 0.13, 0.01])('weights whose squares sum to %d', (target) => {
    const weights = meanWeights(target);
    expect(weights.length % 2).toBe(1);
    expect(weights.reduce((a, b) => a + b)).toBeCloseTo(1, 12);
    expect(weights.reduce((a, w) => a + w * w, 0)).toBeCloseTo(target, 9);
  });

  it.each([1.3, 2, 4, 9])('lowers noise as %d times the hours', (factor) => {
    const smooth = smoothAsHours(noisy(5), factor);
    const inner = Float32Array.from({ length: 150 * 150 }, (_, i) => {
      const [x, y] = [25 + (i % 150), 25 + Math.floor(i / 150)];
      return smooth.data[y * SIZE + x]!;
    });
    expect(Math.abs((deviation(inner) * Math.sqrt(factor)) / 5 - 1)).toBeLessThan(0.03);
  });

  it('keeps levels and missing data, up to the edge', () => {
    const flat = new Float32Array(60).fill(7);
    flat[23] = Number.NaN;
    const smooth = smoothAsHours(plane(flat, 10), 5).data;
    expect(smooth[23]).toBeNaN();
    for (const [i, v] of smooth.entries()) if (i !== 23) expect(v).toBeCloseTo(7, 5);
    expect(smoothAsHours(plane(flat, 10), 1).data).toBe(flat);
  });
});

describe('fewer hours', () => {
  it.skipIf(!inTurn('a stack'))('look like a stack of fewer hours of the sample scene', () => {
    const truth = truthOf({ S: 12, H: 12, O: 12 });
    const window = calmWindow(truth, 96, [1300, 2500]);
    for (const line of LINES) {
      const many = cut(truth, window)[line];
      const few = { ...many, subs: many.subs / 3 };
      const levels = [many.mean.indexOf(Math.min(...many.mean)), many.mean.indexOf(Math.max(...many.mean))];
      const [dark, bright] = levels.map((i) => ({
        value: many.mean[i!]!,
        noise: noiseOf(many.mean[i!]!, many.subs),
      }));
      const made = withFewerHours(plane(drawStack(many, 8), 96), noiseByValue(dark!, bright), 1 / 3, 2);
      const wanted = Math.sqrt(noisePlane(few).reduce((s, v) => s + v * v, 0) / many.mean.length);
      expect(Math.abs(deviation(made.data, (i) => many.mean[i]!) / wanted - 1)).toBeLessThan(0.03);
    }
  });

  it('keep missing data, and are today’s with all hours', () => {
    const today = plane(Float32Array.of(1, Number.NaN, 3, 4), 2);
    const noise = noiseByValue({ value: 2, noise: 1 });
    expect(withFewerHours(today, noise, 1)).toBe(today);
    expect(withFewerHours(today, noise, 0.5).data[1]).toBeNaN();
    expect(() => withFewerHours(today, noise, 0)).toThrow(RangeError);
    expect(() => withFewerHours(today, noise, 1.2)).toThrow(RangeError);
  });

  it('noise rises with light where a feature shows it, and is constant else', () => {
    const noise = noiseByValue({ value: 100, noise: 3 }, { value: 300, noise: 5 });
    expect(noise(300)).toBeCloseTo(5, 12);
    expect(noise(500)).toBeCloseTo(Math.sqrt(41), 12);
    expect(noise(0)).toBe(3);
    expect(noiseByValue({ value: 100, noise: 3 }, { value: 300, noise: 2 })(300)).toBe(3);
    expect(noiseByValue({ value: 100, noise: 3 })(1e6)).toBe(3);
  });

  it('are the same step back as the future is ahead', () => {
    expect(sameStepBack([{ spent: 6 }, { spent: 5 }], [6, 0])).toEqual([0.5, 1]);
  });
});
