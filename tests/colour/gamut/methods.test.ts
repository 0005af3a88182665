import { describe, expect, it } from 'vitest';
import { GAMUT_METHODS, type GamutName } from '../../../lib/colour/gamut.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import { randomColours } from '../random.ts';

const names = Object.keys(GAMUT_METHODS) as GamutName[];
const cases = names.flatMap((name) => Object.values(SPACES).map((space) => ({ name, space, label: space.label })));

const map = (name: GamutName, rgb: number[], space = SPACES.srgb): number[] => {
  const pixel = Float64Array.from(rgb);
  GAMUT_METHODS[name].map(pixel, 0, space);
  return [...pixel];
};

describe.each(cases)('$name in $label', ({ name, space }) => {
  const { map: apply } = GAMUT_METHODS[name];

  it('leaves colours in gamut bit for bit', () => {
    const colours = randomColours(3, 2000, 0, 1);
    for (const [i, value] of [0, 1, 1, 0, 0, 0, 1, 1, 1].entries()) colours[i] = value;
    const before = colours.slice();
    for (let i = 0; i < colours.length; i += 3) apply(colours, i, space);
    expect(colours).toEqual(before);
  });

  it('brings every colour into gamut, and a second time changes nothing', () => {
    const colours = randomColours(5, 5000, -1, 2);
    for (let i = 0; i < colours.length; i += 3) apply(colours, i, space);
    expect(colours.every((value) => value >= 0 && value <= 1)).toBe(true);
    const once = colours.slice();
    for (let i = 0; i < colours.length; i += 3) apply(colours, i, space);
    expect(colours).toEqual(once);
  });

  it('touches its own three numbers only', () => {
    const row = Float64Array.of(7, 7, 7, 1.5, -0.3, 0.2, 7, 7, 7);
    apply(row, 3, space);
    expect([...row.subarray(0, 3), ...row.subarray(6)]).toEqual([7, 7, 7, 7, 7, 7]);
  });
});

describe.each(['smooth', 'chroma', 'css'] as const)('%s at the ends', (name) => {
  it.each([
    { what: 'lighter than white', rgb: [3, 2, 1], wanted: [1, 1, 1] },
    { what: 'infinite', rgb: [Number.POSITIVE_INFINITY, 1, 1], wanted: [0, 0, 0] },
    { what: 'darker than black', rgb: [-0.5, -0.2, -0.1], wanted: [0, 0, 0] },
    { what: 'NaN', rgb: [Number.NaN, 0.5, 0.5], wanted: [0, 0, 0] },
    { what: 'infinities that cancel', rgb: [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0], wanted: [0, 0, 0] },
  ])('$what', ({ rgb, wanted }) => expect(map(name, rgb)).toEqual(wanted));
});

it('clip cuts each channel, NaN to 0', () => {
  expect(map('clip', [1.5, -0.2, 0.5])).toEqual([1, 0, 0.5]);
  expect(map('clip', [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])).toEqual([0, 1, 0]);
});
