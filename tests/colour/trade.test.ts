import { describe, expect, it } from 'vitest';
import { encodeRgb } from '../../lib/colour/convert.ts';
import { hsvHue } from '../../lib/colour/hsv.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import { multiplyVector, type Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/trade-hues.json';

/** Hue of a mix of line strengths in the order S, H, O. */
const hueOf = (matrix: number[][], strengths: readonly number[]): number | undefined =>
  hsvHue(multiplyVector(matrix, strengths) as unknown as Triple);

describe.each(golden.mixes)('$name', ({ matrix, pureH, pureO, pureS, SasStrongAsH, SHalfOfH, SHalfOfHWithO }) => {
  it.each([
    { what: 'H alone', strengths: [0, 1, 0], wanted: pureH },
    { what: 'O alone', strengths: [0, 0, 1], wanted: pureO },
    { what: 'S alone', strengths: [1, 0, 0], wanted: pureS },
    { what: 'S as strong as H', strengths: [1, 1, 0], wanted: SasStrongAsH },
    { what: 'S half as strong as H', strengths: [0.5, 1, 0], wanted: SHalfOfH },
    { what: 'S half as strong as H, a little O', strengths: [0.5, 1, 0.2], wanted: SHalfOfHWithO },
  ])('$what', ({ strengths, wanted }) => {
    const hue = hueOf(matrix, strengths);
    if (wanted[0] === null) expect(hue).toBeUndefined();
    else expect(hue).toBeCloseTo(wanted[0]!, 10);
  });
});

it('H in red with O in green and blue: O is teal, H is red', () => {
  const matrix = [
    [0, 1, 0],
    [0, 0, 1],
    [0, 0, 1],
  ];
  expect(hueOf(matrix, [0, 0, 1])).toBe(180);
  expect(hueOf(matrix, [0, 1, 0])).toBe(0);
});

it('mixed in light and encoded the same splits are further towards yellow', () => {
  for (const [name, share] of [
    ['G_S25O75', 0.25],
    ['G_S50O50', 0.5],
  ] as const)
    expect(hsvHue(encodeRgb([1, share, 0], SPACES.srgb))).toBeCloseTo(golden.inLight[name], 10);
});

it.each([
  { rgb: [0.3, 0.3, 0.3], hue: undefined },
  { rgb: [1, 0, 0.25], hue: 345 },
  { rgb: [0, 1, 0], hue: 120 },
  { rgb: [0, 0.25, 1], hue: 225 },
  { rgb: [-1, 1, -1], hue: 120 },
  { rgb: [Number.NaN, 0, 1], hue: undefined },
])('hue of $rgb', ({ rgb, hue }) => expect(hsvHue(rgb as unknown as Triple)).toBe(hue));
