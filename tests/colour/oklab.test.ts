import { converter } from 'culori';
import { describe, expect, it } from 'vitest';
import { fromXyz, oklchOf } from '../../lib/colour/convert.ts';
import { labDistance, labToLch, lchToLab, oklabToRgb, rgbToOklab } from '../../lib/colour/oklab.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/oklab.json';
import { expectClose } from './close.ts';
import { randomColours } from './random.ts';

const { srgb } = SPACES;

const oklabOf = (rgb: Triple): Float64Array => {
  const lab = new Float64Array(3);
  rgbToOklab(Float64Array.from(rgb), 0, srgb, lab, 0);
  return lab;
};

const lightOf = converter('lrgb');
const light = (css: string): Triple => {
  const { r, g, b } = lightOf(css);
  return [Number(r), Number(g), Number(b)];
};

describe('OKLab', () => {
  it('meets the table of the paper to its three digits', () => {
    for (const { xyz, oklab } of golden.published)
      expectClose(oklabOf(fromXyz(xyz as unknown as Triple, srgb)), oklab, 5e-4);
  });

  it('meets the values of CSS Color 4', () => {
    for (const { xyz, oklab } of golden.computed)
      expectClose(oklabOf(fromXyz(xyz as unknown as Triple, srgb)), oklab, 1e-12);
  });

  it.each(golden.colours)('$css', ({ css, oklab, oklch }) => {
    expectClose(oklabOf(light(css)), oklab, 1e-12);
    expectClose(oklchOf(light(css), srgb), oklch, 1e-10);
  });

  it('combined matrices of sRGB', () => {
    expectClose(srgb.toLms, golden.srgbToLms.flat(), 1e-14);
    expectClose(srgb.fromLms, golden.lmsToSrgb.flat(), 1e-13);
  });

  it.each(Object.values(SPACES))('$label: comes back, for any real colour', (space) => {
    const colours = randomColours(7, 500, -1, 2);
    const lab = new Float64Array(3);
    const back = new Float64Array(3);
    for (let i = 0; i < colours.length; i += 3) {
      rgbToOklab(colours, i, space, lab, 0);
      labToLch(lab, 0);
      lchToLab(lab, 0);
      oklabToRgb(lab, 0, space, back, 0);
      expectClose(back, [...colours.subarray(i, i + 3)], 1e-12);
    }
  });

  it('greys have no chroma and the lightness of their cube root', () => {
    for (const grey of [0, 0.001, 0.18, 0.5, 1]) {
      const [lightness, chroma] = oklchOf([grey, grey, grey], srgb);
      expect(lightness).toBeCloseTo(Math.cbrt(grey), 14);
      expect(chroma).toBeLessThan(1e-14);
    }
  });

  it('may overlap its input, and NaN gives NaN', () => {
    const rgb = Float64Array.of(9, 0.2, 0.5, 0.1);
    rgbToOklab(rgb, 1, srgb, rgb, 1);
    expectClose(rgb.subarray(1), [...oklabOf([0.2, 0.5, 0.1])], 1e-15);
    expect(rgb[0]).toBe(9);
    expect(oklabOf([Number.NaN, 0, 0]).every(Number.isNaN)).toBe(true);
  });

  it('distance from black to white is 1', () => {
    expect(labDistance(oklabOf([0, 0, 0]), 0, oklabOf([1, 1, 1]), 0)).toBeCloseTo(1, 14);
  });
});
