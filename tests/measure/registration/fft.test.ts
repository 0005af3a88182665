import { describe, expect, it } from 'vitest';
import { createFourier, forward, inverse } from '../../../lib/measure/registration/fft.ts';
import { random } from '../../../samples/scene/random.ts';

const picture = (n: number, seed: number) => {
  const rng = random(seed, 3);
  return Float64Array.from({ length: n * n }, () => rng.normal());
};

/** The definition, term by term; result indexed u·n + v like the transposed spectrum. */
const direct = (re: Float64Array, im: Float64Array, n: number) => {
  const [outRe, outIm] = [new Float64Array(n * n), new Float64Array(n * n)];
  for (let u = 0; u < n; u++)
    for (let v = 0; v < n; v++)
      for (let y = 0; y < n; y++)
        for (let x = 0; x < n; x++) {
          const angle = (-2 * Math.PI * (u * x + v * y)) / n;
          const [c, s] = [Math.cos(angle), Math.sin(angle)];
          outRe[u * n + v]! += re[y * n + x]! * c - im[y * n + x]! * s;
          outIm[u * n + v]! += re[y * n + x]! * s + im[y * n + x]! * c;
        }
  return [outRe, outIm] as const;
};

describe('the Fourier transform', () => {
  it.each([2, 4, 8, 16])('of a square of side %d is its definition', (n) => {
    const [re, im] = [picture(n, 1), picture(n, 2)];
    const [wantRe, wantIm] = direct(re, im, n);
    forward(createFourier(n), re, im);
    for (let i = 0; i < n * n; i++) {
      expect(re[i]).toBeCloseTo(wantRe[i]!, 10);
      expect(im[i]).toBeCloseTo(wantIm[i]!, 10);
    }
  });

  it('comes back by its inverse, n² times as large', () => {
    const n = 64;
    const [re, im] = [picture(n, 3), picture(n, 4)];
    const [wasRe, wasIm] = [re.slice(), im.slice()];
    const fourier = createFourier(n);
    forward(fourier, re, im);
    inverse(fourier, re, im);
    for (let i = 0; i < n * n; i++) {
      expect(re[i]! / n ** 2).toBeCloseTo(wasRe[i]!, 11);
      expect(im[i]! / n ** 2).toBeCloseTo(wasIm[i]!, 11);
    }
  });

  it.each([0, 1, 3, 100])('refuses a side of %d', (n) => {
    expect(() => createFourier(n)).toThrow(RangeError);
  });
});
