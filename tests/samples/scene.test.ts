import { describe, expect, it } from 'vitest';
import { frameOf } from '../../samples/scene/frame.ts';
import { drawStack, LINES, type LineTruth, noiseOf, noisePlane, sceneTruth } from '../../samples/scene/index.ts';

const SMALL = { width: 120, height: 80 } as const;

const greatest = (values: Float32Array): number => values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
const least = (values: Float32Array): number => values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);

describe('noise', () => {
  it('follows the CCD equation', () => {
    // 400 counts above the pedestal of 600 at 0.25 e/count are 100 e; read noise 1.6 e; 25 subs averaged.
    expect(noiseOf(1000, 25)).toBeCloseTo(Math.sqrt((100 + 2.56) / 25) / 0.25, 12);
  });

  it.each(LINES)('of 20 draws of %s is as predicted within 5 %', (line) => {
    const truth = sceneTruth(SMALL)[line];
    const sigma = noisePlane(truth);
    const counted = truth.covered.reduce((a, b) => a + b, 0);
    let sum = 0;
    for (let seed = 100; seed < 120; seed++)
      drawStack(truth, seed).forEach((value, i) => {
        if (truth.covered[i]) sum += ((value - truth.mean[i]!) / sigma[i]!) ** 2;
      });
    expect(Math.abs(Math.sqrt(sum / (20 * counted)) - 1)).toBeLessThan(0.05);
  });

  it('halves with four times the hours', () => {
    const one = sceneTruth({ ...SMALL, hours: { S: 1, H: 1, O: 1 } }).H;
    const four = sceneTruth({ ...SMALL, hours: { S: 1, H: 4, O: 1 } }).H;
    expect([one.subs, four.subs]).toEqual([9, 36]);
    expect(noisePlane(four)[1234]! / noisePlane(one)[1234]!).toBeCloseTo(0.5, 6);
  });

  it('changes with the noise seed alone and is independent between lines', () => {
    const { S, H } = sceneTruth(SMALL);
    const deviates = (truth: LineTruth, seed: number) => {
      const sigma = noisePlane(truth);
      return drawStack(truth, seed).map((value, i) => (value - truth.mean[i]!) / sigma[i]!);
    };
    expect(drawStack(S, 1)).toEqual(drawStack(S, 1));
    const correlation = (a: Float32Array, b: Float32Array) => a.reduce((sum, x, i) => sum + x * b[i]!, 0) / a.length;
    const limit = 5 / Math.sqrt(SMALL.width * SMALL.height);
    expect(Math.abs(correlation(deviates(S, 1), deviates(S, 2)))).toBeLessThan(limit);
    expect(Math.abs(correlation(deviates(S, 1), deviates(H, 1)))).toBeLessThan(limit);
  });
});

describe('sky', () => {
  it('has a gradient strongest in O, or none', () => {
    const range = (truth: LineTruth) => greatest(truth.gradient) - least(truth.gradient);
    const { S, H, O } = sceneTruth(SMALL);
    expect(range(O)).toBeGreaterThan(2 * range(H));
    expect(range(H)).toBeGreaterThan(range(S));
    expect(least(O.gradient)).toBeGreaterThanOrEqual(0);
    expect(range(sceneTruth({ ...SMALL, gradient: false }).O)).toBe(0);
  });

  it('adds up with nebula, stars and pedestal to the expected value', () => {
    const { O } = sceneTruth(SMALL);
    const sum = O.nebula[777]! + O.stars[777]! + O.sky + O.gradient[777]! + O.pedestal;
    expect(O.mean[777]).toBeCloseTo(sum, 2);
    expect(least(O.nebula)).toBeGreaterThanOrEqual(0);
  });

  it('leaves out stars and coverage on request', () => {
    const { O } = sceneTruth({ ...SMALL, stars: false, coverage: false });
    expect(greatest(O.stars)).toBe(0);
    expect(O.covered.every((c) => c === 1)).toBe(true);
  });
});

describe('planted misfits', () => {
  const plain = sceneTruth({ ...SMALL, gradient: false }).H;

  it('shift by whole pixels moves the picture', () => {
    const moved = sceneTruth({ ...SMALL, gradient: false, misfit: { H: { dx: 3, dy: -2 } } }).H;
    let most = 0;
    for (let y = 2; y < 78; y++)
      for (let x = 3; x < 120; x++)
        most = Math.max(most, Math.abs(moved.mean[(y - 2) * 120 + x]! / plain.mean[y * 120 + x - 3]! - 1));
    expect(most).toBeLessThan(1e-3);
  });

  it('shift by (3.25, −1.5) moves the centre of light of a star by as much', () => {
    const field = { width: 300, height: 200, gradient: false } as const;
    const fixed = sceneTruth(field).H;
    const moved = sceneTruth({ ...field, misfit: { H: { dx: 3.25, dy: -1.5 } } }).H;
    const [x, y] = brightestInside(fixed, 20);
    const [from, to] = [centre(fixed, x, y), centre(moved, x + 3, y - 1)];
    expect(Math.abs(to[0] - from[0] - 3.25)).toBeLessThan(0.02);
    expect(Math.abs(to[1] - from[1] + 1.5)).toBeLessThan(0.02);
  });

  it('turns clockwise about the centre', () => {
    const square = { width: 64, height: 64, gradient: false } as const;
    const before = sceneTruth(square).S;
    const after = sceneTruth({ ...square, misfit: { S: { angle: 90 } } }).S;
    // A quarter turn takes pixel (x, y) to (63 − y, x).
    for (const [x, y] of [
      [10, 20],
      [40, 50],
      [32, 5],
    ] as const)
      expect(after.mean[x * 64 + 63 - y]! / before.mean[y * 64 + x]!).toBeCloseTo(1, 4);
  });

  it('crops', () => {
    const cropped = sceneTruth({ ...SMALL, misfit: { O: { crop: { left: 1, bottom: 2 } } } }).O;
    const whole = sceneTruth(SMALL).O;
    expect([cropped.width, cropped.height]).toEqual([119, 78]);
    for (const [x, y] of [
      [0, 0],
      [118, 77],
      [60, 40],
    ] as const) {
      expect(cropped.mean[y * 119 + x]).toBeCloseTo(whole.mean[y * 120 + x + 1]!, 3);
      expect(cropped.covered[y * 119 + x]).toBe(whole.covered[y * 120 + x + 1]);
    }
  });

  it('maps scene to picture and back', () => {
    const frame = frameOf(1200, 800, { dx: 3.25, dy: -1.5, angle: 2.5, crop: { left: 1 } });
    const [x, y] = frame.toPixel(0.3, -0.7);
    const [u, v] = frame.toScene(x, y);
    expect(u).toBeCloseTo(0.3, 12);
    expect(v).toBeCloseTo(-0.7, 12);
    // The centre of the full frame lands at its own place, plus the shift, less the crop.
    expect(frame.toPixel(0, 0)).toEqual([599.5 + 3.25 - 1, 399.5 - 1.5]);
  });
});

/** The brightest pixel of starlight at least `margin` pixels from the border. */
const brightestInside = ({ width, height, stars }: LineTruth, margin: number): [number, number] => {
  let best: [number, number] = [margin, margin];
  for (let y = margin; y < height - margin; y++)
    for (let x = margin; x < width - margin; x++)
      if (stars[y * width + x]! > stars[best[1] * width + best[0]]!) best = [x, y];
  return best;
};

/** Centre of squared light, which hardly feels neighbours and wings, within 6 pixels. */
const centre = ({ width, stars }: LineTruth, x0: number, y0: number): [number, number] => {
  let [sum, sx, sy] = [0, 0, 0];
  for (let y = y0 - 6; y <= y0 + 6; y++)
    for (let x = x0 - 6; x <= x0 + 6; x++) {
      const light = stars[y * width + x]! ** 2;
      sum += light;
      sx += light * x;
      sy += light * y;
    }
  return [sx / sum, sy / sum];
};
