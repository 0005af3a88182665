import { describe, expect, it } from 'vitest';
import { limitGreen } from '../../lib/colour/green-limit.ts';
import { HIGHLIGHTS } from '../../lib/colour/highlights.ts';
import { luminanceOf, replaceLuminance } from '../../lib/colour/luminance.ts';
import { screen } from '../../lib/colour/screen.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { randomColours } from './random.ts';

const { srgb } = SPACES;
const changed = (rgb: readonly number[], change: (pixel: Float64Array) => void): number[] => {
  const pixel = Float64Array.from(rgb);
  change(pixel);
  return [...pixel];
};

describe('highlights', () => {
  const ratio = (rgb: readonly number[]) => changed(rgb, (pixel) => HIGHLIGHTS.ratio(pixel, 0, srgb));
  const clip = (rgb: readonly number[]) => changed(rgb, (pixel) => HIGHLIGHTS.clip(pixel, 0, srgb));

  it('ratio divides by the largest channel', () => {
    expect(ratio([2, 1, 0.5])).toEqual([1, 0.5, 0.25]);
    expect(ratio([0.5, 4, -2])).toEqual([0.125, 1, -0.5]);
  });

  it('ratio leaves colours up to 1 bit for bit', () => {
    for (const rgb of [
      [1, 0.3, 0],
      [0.1, 0.2, 0.3],
      [-1, 0, 1],
    ])
      expect(ratio(rgb)).toEqual(rgb);
  });

  it('ratio ends at exactly 1', () => {
    const colours = randomColours(4, 1000, 0, 5);
    for (let i = 0; i < colours.length; i += 3) {
      const over = Math.max(...colours.subarray(i, i + 3)) > 1;
      HIGHLIGHTS.ratio(colours, i, srgb);
      if (over) expect(Math.max(...colours.subarray(i, i + 3))).toBe(1);
    }
  });

  it('ratio: infinity becomes full, NaN stays', () => {
    expect(ratio([Number.POSITIVE_INFINITY, 3, Number.NEGATIVE_INFINITY])).toEqual([1, 0, 0]);
    expect(ratio([2, Number.NaN, 0.5])).toEqual([2, Number.NaN, 0.5]);
  });

  it('clip cuts above 1 only', () => expect(clip([1.5, -0.5, 0.5])).toEqual([1, -0.5, 0.5]));
});

describe('luminance', () => {
  // Y = 0.2 · 0.21263900587 + 0.1 · 0.71516867877 + 0.05 · 0.07219231536, by the Y row of IEC 61966-2-1.
  it('is the Y of the space', () =>
    expect(luminanceOf(Float64Array.of(0.2, 0.1, 0.05), 0, srgb)).toBeCloseTo(0.117654284819114, 14));

  it('is replaced with ratios kept', () => {
    const [r, g, b] = changed([0.2, 0.1, 0.05], (pixel) => replaceLuminance(pixel, 0, srgb, 0.3));
    expect(r).toBeCloseTo((0.2 * 0.3) / 0.117654284819114, 13);
    expect(g! / r!).toBeCloseTo(0.5, 14);
    expect(b! / r!).toBeCloseTo(0.25, 14);
    expect(luminanceOf(Float64Array.of(r!, g!, b!), 0, srgb)).toBeCloseTo(0.3, 14);
  });

  it.each([
    { what: 'black', rgb: [0, 0, 0] },
    { what: 'negative', rgb: [-0.1, -0.2, 0] },
    { what: 'so dark that the ratio overflows', rgb: [1e-320, 0, 0] },
    { what: 'NaN', rgb: [Number.NaN, 1, 1] },
  ])('a colour without luminance becomes grey: $what', ({ rgb }) =>
    expect(changed(rgb, (pixel) => replaceLuminance(pixel, 0, srgb, 0.3))).toEqual([0.3, 0.3, 0.3]),
  );
});

describe('green limit', () => {
  const limited = (rgb: readonly number[], amount: number, mean: 'mean' | 'max') =>
    changed(rgb, (pixel) => limitGreen(pixel, 0, amount, mean));

  it('brings green down to the mean or the larger of red and blue', () => {
    expect(limited([0.25, 1, 0.75], 1, 'mean')).toEqual([0.25, 0.5, 0.75]);
    expect(limited([0.25, 1, 0.75], 1, 'max')).toEqual([0.25, 0.75, 0.75]);
    expect(limited([0.25, 1, 0.75], 0.5, 'mean')).toEqual([0.25, 0.75, 0.75]);
  });

  it('leaves what is not green, amount 0 and NaN', () => {
    expect(limited([0.5, 0.4, 0.5], 1, 'mean')).toEqual([0.5, 0.4, 0.5]);
    expect(limited([0, 1, 0], 0, 'max')).toEqual([0, 1, 0]);
    expect(limited([Number.NaN, 1, 0], 1, 'max')).toEqual([Number.NaN, 1, 0]);
    expect(limited([0, Number.NaN, 0], 1, 'mean')).toEqual([0, Number.NaN, 0]);
  });
});

// Values worked out by hand from 1 − (1 − a)(1 − b).
it.each([
  [0, 0, 0],
  [1, 0.3, 1],
  [0.5, 0.5, 0.75],
  [0.2, 0.7, 0.76],
  [0.25, 0.25, 0.4375],
  [0.6, 0.5, 0.8],
])('screen of %d and %d is %d', (a, b, wanted) => {
  expect(screen(a!, b!)).toBeCloseTo(wanted!, 15);
  expect(screen(b!, a!)).toBeCloseTo(wanted!, 15);
});
