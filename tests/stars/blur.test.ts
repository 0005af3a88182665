import { describe, expect, it } from 'vitest';
import { blurred, blurredDifference } from '../../lib/stars/find/blur.ts';
import { gaussKernel } from '../../lib/stars/find/gauss.ts';
import { plainBlur } from '../../lib/stars/find/plain-blur.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

describe('smoothing by a Gaussian', () => {
  it('gives the bytes of the plain arithmetic in WebAssembly', () => {
    const next = randomNumbers(11);
    for (let i = 0; i < 30; i++) {
      const size = { width: 1 + Math.floor(70 * next()), height: 1 + Math.floor(40 * next()) };
      const values = Float32Array.from({ length: size.width * size.height }, () => 1e4 * (next() - 0.3));
      const kernels = [gaussKernel(0.4 + 3 * next()), gaussKernel(0.4 + 5 * next())] as const;
      const [one, other] = kernels.map((kernel) => plainBlur(values, size, kernel)) as [Float32Array, Float32Array];
      expect(blurred(values, size, kernels[0])).toEqual(one);
      const difference = new Float32Array(values.length);
      blurredDifference(values, size, kernels, difference);
      expect(difference).toEqual(one.map((value, p) => value - other[p]!));
    }
  });

  it('is a convolution, with the border repeated outwards', () => {
    const next = randomNumbers(12);
    const [width, height, deviation] = [23, 17, 1.7];
    const values = Float32Array.from({ length: width * height }, () => next());
    const found = blurred(values, { width, height }, gaussKernel(deviation));
    const weight = (d: number) => (Math.abs(d) > Math.ceil(4 * deviation) ? 0 : Math.exp(-0.5 * (d / deviation) ** 2));
    for (const [x, y] of [
      [0, 0],
      [11, 8],
      [22, 16],
      [3, 15],
    ] as const) {
      let [sum, weights] = [0, 0];
      for (let v = -30; v <= 30; v++)
        for (let u = -30; u <= 30; u++) {
          const w = weight(u) * weight(v);
          const [a, b] = [Math.max(0, Math.min(width - 1, x + u)), Math.max(0, Math.min(height - 1, y + v))];
          sum += w * values[b * width + a]!;
          weights += w;
        }
      expect(found[y * width + x]!).toBeCloseTo(sum / weights, 5);
    }
  });
});
