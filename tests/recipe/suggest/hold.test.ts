import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convert, oklchOf } from '../../../lib/colour/convert.ts';
import { parseColour } from '../../../lib/colour/css.ts';
import { okDifferenceOf } from '../../../lib/colour/difference.ts';
import { SPACES } from '../../../lib/colour/spaces.ts';
import type { Triple } from '../../../lib/plane/linear.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { beforeSteps, shownLight } from '../../../lib/recipe/suggest/before-steps.ts';
import { wishedColour } from '../../../lib/recipe/suggest/colour-wish.ts';
import { holdColours } from '../../../lib/recipe/suggest/hold.ts';
import { largeWeightWarnings } from '../../../lib/work/hold-words.ts';

const settledOf = (matrix: number[][], more: Partial<Settled> = {}): Settled => ({
  channels: matrix[0]!.map((_, k) => ({
    name: `L${k}`,
    background: 100,
    black: -5,
    white: 900,
    stretch: { curve: 'asinh', a: 0.01 },
  })),
  matrix,
  mixIn: 'display',
  space: 'srgb',
  highlights: 'ratio',
  gamut: 'smooth',
  ...more,
});
const PLAIN = settledOf([
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
]);

const wished = (settled: Settled, text: string, strengths: readonly number[]): Triple => {
  const { gamut } = settled;
  const wish = wishedColour(text, shownLight(settled)(strengths), { space: SPACES[settled.space], gamut }, parseColour);
  if ('fault' in wish) throw new Error(wish.fault);
  return wish.rgb;
};

/**
 * S, H and O of the sample masters, automatically stretched: median of the dark quarter and its noise after binning by 3,
 * both measured with a program of its own; places read off the picture.
 */
const SAMPLES = {
  sky: [0.05095447, 0.04072694, 0.07024826],
  noise: [0.0036293, 0.00068224, 0.00187802],
  pixels: 9,
};
const SHELL = [0.19, 0.1, 0.7];
const CLOUDS = [
  [0.42, 0.55, 0.15],
  [0.4, 0.56, 0.16],
] as const;

describe('colours held in the samples', () => {
  const hold = (wishes: readonly (readonly [readonly number[], string])[]) =>
    holdColours({
      settled: PLAIN,
      ...SAMPLES,
      places: wishes.map(([strengths, text]) => ({ strengths, wanted: wished(PLAIN, text, strengths) })),
    });

  it('make the shell of O blue, for less noise than before', () => {
    const held = hold([[SHELL, '0.12@235']]);
    expect(held.price).toBeCloseTo(0.96, 2);
    expect(held.places[0]!.left).toBeLessThan(0.001);
    expect(held.sky.left).toBeLessThan(0.001);
    const figures = [
      [1.014, 0.705, -0.376],
      [0.003, 0.821, 0.29],
      [0, 0.419, 0.525],
    ];
    for (const [r, row] of figures.entries())
      for (const [c, w] of row.entries()) expect(Math.abs(held.weights[r]![c]! - w)).toBeLessThan(0.0015);
    expect(held).toMatchObject({ loosened: false, conflicts: [] });
  });

  it('conflict where two clouds of nearly the same light shall be gold and rose', () => {
    const held = hold([
      [CLOUDS[0], '0.12@75'],
      [CLOUDS[1], '0.12@5'],
    ]);
    expect(held.price).toBeCloseTo(1.5, 6);
    expect(held.loosened).toBe(true);
    expect(held.places.map(({ left }) => Number(left.toFixed(3)))).toEqual([0.052, 0.074]);
    expect(held.cosine.toFixed(4)).toBe('0.9994');
    expect(held.conflicts.map(({ place, like }) => [place, like])).toEqual([
      [0, 1],
      [1, 0],
    ]);
  });

  it('tell the largest weight where a weak line must give a strong colour, in one sentence', () => {
    // The second line has next to no noise, so nothing else stands against a large weight.
    const quiet = { settled: PLAIN, sky: [0.05, 0.01, 0.05], noise: [0.02, 0.0002, 0.02], pixels: 9 };
    const strengths = [0.3, 0.08, 0.31];
    const held = holdColours({ ...quiet, places: [{ strengths, wanted: wished(PLAIN, '#d02020', strengths) }] });
    const most = Math.max(...held.weights.flat().map(Math.abs));
    expect(most).toBeGreaterThan(3);
    expect(Math.abs(held.large!.weight)).toBe(most);
    const row = ['red', 'green', 'blue'].indexOf(held.large!.colour);
    expect(held.weights[row]![Number(held.large!.channel.slice(1))]).toBe(held.large!.weight);
    const words = largeWeightWarnings(held);
    expect(words).toHaveLength(1);
    expect(words[0]).toContain(`the weight of ${held.large!.channel} in ${held.large!.colour} is`);
    // Whoever had such weights before has not been given them by holding.
    const again = holdColours({
      ...quiet,
      settled: settledOf([
        [1, 0, 0],
        [0, 60, 0],
        [0, 0, 1],
      ]),
      places: [{ strengths, wanted: [0.5, 0.4, 0.3] }],
    });
    expect(again.large).toBeUndefined();
    expect(largeWeightWarnings(hold([[SHELL, '0.12@235']]))).toEqual([]);
  });

  it('do not depend on the order of the places', () => {
    const [one, two] = [
      [SHELL, '0.12@235'],
      [CLOUDS[0], '0.12@75'],
    ] as const;
    const [forth, back] = [hold([one, two]), hold([two, one])];
    for (const [i, w] of forth.weights.flat().entries()) expect(back.weights.flat()[i]!).toBeCloseTo(w, 5);
    expect(back.places[1]!.left).toBeCloseTo(forth.places[0]!.left, 5);
    expect(back.price).toBeCloseTo(forth.price, 6);
  });

  it('refuse strengths that are not one number a line, and no places', () => {
    const places = [{ strengths: [0.1, 0.2], wanted: [0, 0, 0] as const }];
    expect(() => holdColours({ settled: PLAIN, ...SAMPLES, places })).toThrow(RangeError);
    expect(() => holdColours({ settled: PLAIN, ...SAMPLES, places: [] })).toThrow(RangeError);
  });
});

describe('steps after the weights, undone', () => {
  const unit = fc.double({ min: 0.05, max: 0.95, noNaN: true });
  const light = fc.tuple(unit, unit, unit);
  const strengths = fc.tuple(unit, unit, unit);
  /** What is shown where the weights give `mixed`: one line of full strength a colour. */
  const shownOf = (settled: Settled, mixed: Triple) =>
    shownLight({ ...settled, matrix: mixed.map((v, r) => PLAIN.matrix[r]!.map((w) => w * v)) })([1, 1, 1]);
  const spaces = fc.constantFrom('srgb' as const, 'display-p3' as const, 'srgb-linear' as const);
  const greens = fc.record({
    amount: fc.double({ min: 0, max: 0.8, noNaN: true }),
    mean: fc.constantFrom('mean' as const, 'max' as const),
  });
  const drawn = fc
    .record({
      space: spaces,
      mixIn: fc.constantFrom('display' as const, 'light' as const),
      green: fc.option(greens, { nil: undefined }),
      a: fc.double({ min: 0.001, max: 0.5, noNaN: true }),
    })
    .map(({ space, mixIn, green, a }) =>
      settledOf(
        PLAIN.matrix.map((row) => [...row]),
        {
          space,
          mixIn,
          ...(green && { greenLimit: green }),
          ...(mixIn === 'light' && { intensity: { curve: 'asinh' as const, a } }),
        },
      ),
    );

  it('give back the colour that they are undone from', () => {
    fc.assert(
      fc.property(drawn, light, strengths, (settled, wanted, e) => {
        const mixed = beforeSteps(settled, wanted, e);
        // Green that was taken back can ask for more than full strength, which highlights hold.
        fc.pre(Math.max(...mixed) < 1);
        const got = shownOf(settled, mixed);
        for (const [b, v] of wanted.entries()) expect(got[b]!).toBeCloseTo(v, 6);
      }),
      { numRuns: 300 },
    );
  });

  it('keep ratios and luminance where a lightness row decides how bright a pixel is', () => {
    fc.assert(
      fc.property(drawn, light, strengths, (plain, wanted, e) => {
        const { greenLimit: _, ...rest } = plain;
        const settled = { ...rest, lightness: [0.2, 0.3, 0.1] };
        const mixed = beforeSteps(settled, wanted, e);
        fc.pre(Math.max(...mixed) < 1);
        const got = shownOf(settled, mixed);
        fc.pre(Math.max(...got) < 1);
        for (const b of [1, 2]) expect(got[b]! / got[0]!).toBeCloseTo(wanted[b]! / wanted[0]!, 5);
      }),
    );
  });

  it('give the limit where more green cannot be reached', () => {
    const settled = settledOf([...PLAIN.matrix.map((row) => [...row])], { greenLimit: { amount: 1, mean: 'mean' } });
    const wanted: Triple = [0.1, 0.5, 0.2];
    const [red, green, blue] = beforeSteps(settled, wanted, [0.5, 0.5, 0.5]);
    expect(green).toBeCloseTo((red + blue) / 2, 12);
  });
});

describe('a wish for a colour', () => {
  const shown: Triple = [0.2, 0.1, 0.3];
  const space = SPACES['display-p3'];
  const wish = (text: string) => wishedColour(text, shown, { space, gamut: 'smooth' }, parseColour);

  it('of chroma and hue keeps the lightness', () => {
    const found = wish(' 0.08 @ 235');
    if ('fault' in found) throw new Error(found.fault);
    const [lightness, chroma, hue] = oklchOf(found.rgb, space);
    expect(lightness).toBeCloseTo(oklchOf(shown, space)[0], 9);
    expect(chroma).toBeCloseTo(0.08, 9);
    expect(hue).toBeCloseTo(235, 6);
    expect(wish('.08@-125')).toEqual({ rgb: found.rgb.map((v) => expect.closeTo(v, 9)) });
  });

  it('of a CSS colour gives the lightness too', () => {
    const found = wish('#804020');
    if ('fault' in found) throw new Error(found.fault);
    const same = convert(
      [0x80, 0x40, 0x20].map((v) => SPACES.srgb.decode(v / 255)) as unknown as Triple,
      SPACES.srgb,
      space,
    );
    expect(okDifferenceOf(found.rgb, same, space)).toBeLessThan(1e-6);
  });

  it('stays in gamut', () => {
    const found = wish('0.4@150');
    if ('fault' in found) throw new Error(found.fault);
    expect(Math.min(...found.rgb)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...found.rgb)).toBeLessThanOrEqual(1);
  });

  it.each([
    ['0.5@20', /chroma is 0 to 0\.4, not 0\.5/],
    ['0.1@', /not a CSS colour/],
    ['rgb(0 0 0 / 50%)', /transparent/],
  ])('is refused as %s', (text, message) => {
    expect(wish(text)).toEqual({ fault: expect.stringMatching(message) });
  });
});
