import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rgbToOklab } from '../../../lib/colour/oklab.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import { dot, multiply, multiplyVector, transpose } from '../../../lib/plane/linear.ts';
import { CHROMA, displayChange, towardsHue } from '../../../lib/recipe/suggest/chroma-plane.ts';
import { decorrelated, decorrelation } from '../../../lib/recipe/suggest/decorrelate.ts';
import { noiseOf } from '../../../lib/recipe/suggest/judge.ts';
import { warmth } from '../../../lib/recipe/suggest/lines.ts';
import { mapEigenvalues, momentsOf } from '../../../lib/recipe/suggest/moments.ts';
import { leastNear } from '../../../lib/recipe/suggest/nelder-mead.ts';
import { cancellingHues } from '../../../lib/recipe/suggest/presence.ts';
import { affordable, BUDGET, weightsAt } from '../../../lib/recipe/suggest/proposal.ts';
import { invented } from './lines.ts';

const sum = (row: readonly number[]) => row.reduce((a, b) => a + b, 0);

describe('moments', () => {
  it('are those of a set known by hand', () => {
    const { mean, covariance } = momentsOf([1, 2, 3, 6, 5, 4], 2);
    expect(mean).toEqual([3, 4]);
    expect(covariance.flat()).toEqual([8 / 3, 4 / 3, 4 / 3, 8 / 3].map((v) => expect.closeTo(v, 12)));
  });

  it('map eigenvalues: the square of the root is the matrix', () => {
    const matrix = [
      [4, 1, 0.5],
      [1, 3, -0.2],
      [0.5, -0.2, 2],
    ];
    const root = mapEigenvalues(matrix, Math.sqrt);
    expect(multiply(root, root).flat()).toEqual(matrix.flat().map((v) => expect.closeTo(v, 10)));
  });
});

describe('decorrelation', () => {
  const own = fc.double({ min: 0.005, max: 0.2, noNaN: true });

  it('makes the covariance of the colours diagonal, and keeps greys grey', () => {
    fc.assert(
      fc.property(own, own, own, (s, h, o) => {
        const { covariance } = invented(['S', 'H', 'O'], [s, h, o], [0.01, 0.01, 0.01]);
        const full = decorrelation(covariance);
        const after = multiply(multiply(full, covariance), transpose(full));
        for (let i = 0; i < 3; i++) {
          expect(sum(full[i]!)).toBeCloseTo(1, 9);
          for (let j = 0; j < 3; j++) if (i !== j) expect(Math.abs(after[i]![j]!)).toBeLessThan(1e-9 * after[i]![i]!);
        }
      }),
      { numRuns: 20 },
    );
  });

  it('is diagonal over the mixed pixels themselves', () => {
    const sample = invented(['S', 'H', 'O'], [0.02, 0.01, 0.05], [0.005, 0.005, 0.005]);
    const proposal = decorrelated(sample);
    const full = weightsAt(proposal, 1);
    const mixed = Float64Array.from({ length: sample.values.length }, (_, i) =>
      dot(full[i % 3]!, [...sample.values.subarray(i - (i % 3), i - (i % 3) + 3)]),
    );
    const { covariance } = momentsOf(mixed, 3);
    for (const [i, j] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ] as const)
      expect(Math.abs(covariance[i]![j]!) / covariance[i]![i]!).toBeLessThan(1e-9);
    expect(proposal.knob.value).toBeLessThan(1);
    expect(weightsAt(proposal, 0).flat()).toEqual([1, 0, 0, 0, 1, 0, 0, 0, 1]);
  });
});

describe('the plane of chroma', () => {
  it('says how OKLab changes about a grey', () => {
    const lab = (rgb: readonly number[]) => {
      const values = Float64Array.from(rgb, SPACES.srgb.decode);
      rgbToOklab(values, 0, SPACES.srgb, values, 0);
      return values;
    };
    const change = [0.01, -0.02, 0.015];
    const moved = lab(change.map((x) => 0.35 + x));
    const [a, b] = multiplyVector(CHROMA, change) as [number, number];
    expect(moved[1]).toBeCloseTo(a, 3);
    expect(moved[2]).toBeCloseTo(b, 3);
    expect(multiplyVector(CHROMA, [1, 1, 1])).toEqual([expect.closeTo(0, 6), expect.closeTo(0, 6)]);
  });

  it.each([0, 62, 145, 250])('moves towards hue %d', (hue) => {
    const along = towardsHue(hue);
    const [a, b] = multiplyVector(CHROMA, along) as [number, number];
    expect(((Math.atan2(b, a) * 180) / Math.PI + 360) % 360).toBeCloseTo(hue, 6);
    expect(Math.hypot(...along)).toBeCloseTo(1, 9);
    const [e, f] = multiplyVector(CHROMA, displayChange(a, b)) as [number, number];
    expect([e, f]).toEqual([expect.closeTo(a, 9), expect.closeTo(b, 9)]);
  });
});

describe('the simplex search', () => {
  it('finds the least of a bent valley and of a bowl', () => {
    // H. H. Rosenbrock, Computer Journal 3:175, 1960: least at (1, 1).
    const valley = ([x, y]: readonly number[]) => 100 * (y! - x! * x!) ** 2 + (1 - x!) ** 2;
    const { x, value } = leastNear(valley, [-1.2, 1], 0.5, 400);
    expect(x[0]).toBeCloseTo(1, 3);
    expect(x[1]).toBeCloseTo(1, 3);
    expect(value).toBeLessThan(1e-6);
    const bowl = (at: readonly number[]) => at.reduce((sum, v, i) => sum + (i + 1) * (v - i) ** 2, 0);
    expect(leastNear(bowl, [5, 5, 5, 5], 1, 900).value).toBeLessThan(1e-4);
  });

  it('asks no more often than it may, but for one shrink', () => {
    let asked = 0;
    leastNear(
      (at) => {
        asked++;
        return at[0]!;
      },
      [0, 0, 0],
      1,
      50,
    );
    expect(asked).toBeLessThan(56);
  });
});

describe('hues that cancel', () => {
  it('lie 120° apart for equal strengths', () => {
    expect(cancellingHues([1, 1, 1])).toEqual([0, 120, -120].map((v) => expect.closeTo(v, 9)));
  });

  it('cancel for all strengths that can', () => {
    const strength = fc.double({ min: 1, max: 1.7, noNaN: true });
    fc.assert(
      fc.property(strength, strength, strength, (...strengths) => {
        const hues = cancellingHues(strengths).map((hue) => (hue * Math.PI) / 180);
        const total = (of: (angle: number) => number) => hues.reduce((s, hue, i) => s + strengths[i]! * of(hue), 0);
        expect(Math.hypot(total(Math.cos), total(Math.sin))).toBeLessThan(1e-6);
      }),
    );
  });

  it('stay finite where one is far stronger', () => {
    expect(cancellingHues([9, 1, 1]).every(Number.isFinite)).toBe(true);
  });
});

describe('warmth', () => {
  it('follows the wavelength, and the list where no line is known', () => {
    const [s, h, o] = warmth(['SII', 'Ha', 'O3']) as [number, number, number];
    expect(s).toBeGreaterThan(h);
    expect(h).toBeGreaterThan(o);
    expect(warmth(['X', 'Y', 'Z'])).toEqual([1, 0, -1]);
    const [known, between, cool] = warmth(['H', 'X', 'O']) as [number, number, number];
    expect(known).toBeGreaterThan(between);
    expect(between).toBeGreaterThan(cool);
  });
});

describe('a budget', () => {
  it('is used up and not overdrawn', () => {
    const sample = invented(['S', 'H', 'O'], [0.02, 0.02, 0.02], [0.01, 0.01, 0.01]);
    const { base, change } = decorrelated(sample);
    const knob = affordable({ base, change }, sample, BUDGET, 1);
    expect(noiseOf(weightsAt({ base, change }, knob), sample.noise).noise).toBeCloseTo(BUDGET.noise, 2);
  });

  it('counts the noise of each line', () => {
    const plain = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ];
    expect(noiseOf(plain, [1, 2, 3])).toEqual({ noise: expect.closeTo(1, 12), screenNoise: expect.closeTo(1, 12) });
    // √((9·1 + 0 + 0)/3) over √(14/3)
    const one = [
      [3, 0, 0],
      [0, 0, 0],
      [0, 0, 0],
    ];
    expect(noiseOf(one, [1, 2, 3]).screenNoise).toBeCloseTo(Math.sqrt(3) / Math.sqrt(14 / 3), 12);
  });
});
