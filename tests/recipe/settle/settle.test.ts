import { describe, expect, it } from 'vitest';
import type { Measured } from '../../../lib/plane/measured.ts';
import { balancedMatrix, neededPercentiles, settle, usedChannels } from '../../../lib/recipe/settle/settle.ts';
import type { SettledChannel } from '../../../lib/recipe/settle/settled.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { expectClose } from '../../colour/close.ts';
import { faultsOf, SHO } from '../written/fault.ts';

/** What a master with a level of 1000, noise 50 and a bright nebula measures as. */
const measured = (name: string, change: Partial<Measured> = {}): Measured => ({
  name,
  file: `${name}.fits`,
  width: 100,
  height: 80,
  type: 'f32',
  filter: undefined,
  hours: undefined,
  min: 700,
  max: 60_000,
  median: 1010,
  madSpread: 55,
  level: 1000,
  spread: 50,
  percentiles: { '0.05': 800, '99.9': 6000, '99.5': 4000 },
  counted: 8000,
  undefined: 0,
  saturated: 0,
  flat: false,
  stretched: false,
  ...change,
});
const lines = [
  measured('S'),
  measured('H', { level: 2000, percentiles: { '0.05': 1500, '99.9': 20_000 } }),
  measured('O'),
];
const settledOf = (recipe: Partial<Recipe>) => settle({ matrix: SHO, ...recipe }, lines).settled;

/** Where a value comes out, by the published formula of settled numbers. */
const shown = ({ background, black, white, stretch }: SettledChannel, x: number): number => {
  const z = Math.min(1, Math.max(0, (x - background - black) / (white - black)));
  return z / ((1 / stretch.a! - 2) * (1 - z) + 1);
};

describe('a black point that a recipe asks for', () => {
  const asked = (noise: number) => settle({ matrix: SHO, levels: { S: { black: { noise } } } }, lines).warnings;

  it('gets a note where the darkest pixels decide, and none where it does', () => {
    // Level 1000 and noise 50: 4 × noise below is the 0.05 percentile, 800.
    expect(asked(4)).toEqual([]);
    expect(asked(5)).toEqual([
      'the black point of S stops at its darkest 0.05 % of pixels, which lie above 5 times the spread below the sky; ' +
        'a number for "black" goes lower',
    ]);
  });

  it('gets no note where it was not asked for', () => {
    const noisy = [measured('S', { spread: 200 }), lines[1]!, lines[2]!];
    expect(settle({ matrix: SHO }, noisy).warnings).toEqual([]);
  });
});

describe('settling a recipe', () => {
  it('puts every background at its target, by the default curve', () => {
    const { channels } = settledOf({ stretch: { O: { background: 0.3 } } });
    expect(channels.map(({ stretch }) => stretch.curve)).toEqual(['bias', 'bias', 'bias']);
    expectClose(
      channels.map((channel, i) => shown(channel, lines[i]!.level)),
      [0.12, 0.12, 0.3],
      1e-6,
    );
  });

  it('takes black three times the noise below the level, and white from a percentile', () => {
    const [s] = settledOf({}).channels;
    expect(s).toMatchObject({ background: 1000, black: -150, white: 5000 });
    // Not below the 0.05 percentile.
    const [wide] = settle({ matrix: SHO }, [measured('S', { spread: 200 }), lines[1]!, lines[2]!]).settled.channels;
    expect(wide!.black).toBe(-200);
    expect(wide!.limits).toEqual({ black: 'percentile 0.05' });
    expect(s!.limits).toBeUndefined();
    const own = settledOf({
      levels: { '*': { black: { noise: 1 } }, S: { white: { percentile: 99.5 } }, H: { white: 900 } },
    });
    expect(own.channels.map(({ black, white }) => [black, white])).toEqual([
      [-50, 3000],
      [-50, 900],
      [-50, 5000],
    ]);
    expect(neededPercentiles({ matrix: SHO, levels: { S: { white: { percentile: 99.5 } } } })).toEqual([99.5]);
  });

  it('holds only float32 numbers', () => {
    const odd = lines.map((m) => ({ ...m, level: m.level + 0.1, spread: 50.3 }));
    for (const { background, black, white, stretch } of settle({ matrix: SHO }, odd).settled.channels)
      for (const value of [background, black, white, stretch.a!]) expect(Math.fround(value)).toBe(value);
  });

  it('leaves out what is not used, and keeps the order of the recipe', () => {
    const recipe: Recipe = {
      channels: ['O', 'S', 'H'],
      matrix: [
        [1, 0, 0],
        [0, 0, 1],
        [1, 0, 0],
      ],
    };
    expect(usedChannels(recipe)).toEqual(['O', 'H']);
    const { channels, matrix } = settle(recipe, lines).settled;
    expect(channels.map(({ name }) => name)).toEqual(['O', 'H']);
    expect(matrix).toEqual([
      [1, 0],
      [0, 1],
      [1, 0],
    ]);
    expect(usedChannels({ ...recipe, lightness: 'S' })).toEqual(['O', 'S', 'H']);
    expect(usedChannels({ ...recipe, lightness: [0, 1, 0] })).toEqual(['O', 'S', 'H']);
    expect(() => settle(recipe, [lines[0]!])).toThrow(/is used, but not measured/);
  });

  it('balances the matrix and says where white would be tinted', () => {
    const matrix = [
      [0.5, 0.5, 0],
      [0, 2, 0],
      [0, 0, 1],
    ];
    expect(settledOf({ matrix, balance: 'rows' }).matrix).toEqual([
      [0.5, 0.5, 0],
      [0, 1, 0],
      [0, 0, 1],
    ]);
    expect(settle({ matrix, balance: 'rows' }, lines).warnings).toEqual([]);
    expect(settle({ matrix }, lines).warnings).toEqual([expect.stringContaining('1 / 2 / 1')]);
    expect(settle({ matrix, balance: 'as-written' }, lines).warnings).toEqual([]);
  });

  it('names the row that cannot be balanced, or the balance where it is none alone', async () => {
    const without = [
      [1, 0, 0],
      [0, 0, 0],
      [0, 0, 1],
    ];
    const fault = (recipe: Partial<Recipe>) => faultsOf(() => settledOf({ matrix: without, ...recipe }));
    expect(await fault({ balance: 'rows' })).toMatchObject([{ path: '$.matrix[1]' }]);
    expect(await fault({ balance: 'white', white: { '*': 1 } })).toMatchObject([{ path: '$.matrix[1]' }]);
    const darkening = SHO.map((row) => row.map((w, c) => (c === 1 ? -w : w)));
    expect(await fault({ balance: 'equal-light', matrix: darkening })).toMatchObject([{ path: '$.balance' }]);
    const none = without.map((row) => row.map(() => 0));
    expect(await faultsOf(() => balancedMatrix({ matrix: none, balance: 'peak' }))).toMatchObject([
      { path: '$.balance' },
    ]);
  });

  it('leaves the middle of a picture without sky at 0.3, and the level at its target where that is less', () => {
    // White lies 5000 above the level, black 150 below: the middle of the one is 1/50, of the other half way.
    for (const [median, bright] of [
      [1100, false],
      [3500, true],
    ] as const) {
      const findings = { S: { background: { level: 1000, noise: 50 } } };
      const some = [measured('S', { median }), lines[1]!, lines[2]!];
      const [s, h] = settle({ matrix: SHO }, some, findings).settled.channels;
      if (bright) expect(shown(s!, median)).toBeCloseTo(0.3, 5);
      else expect(shown(s!, median)).toBeLessThan(0.3);
      if (bright) expect(shown(s!, 1000)).toBeLessThan(0.12);
      else expect(shown(s!, 1000)).toBeCloseTo(0.12, 5);
      // Where the sky was found by clipping, only its level decides.
      expect(shown(h!, 2000)).toBeCloseTo(0.12, 5);
      const [plain] = settle({ matrix: SHO }, some).settled.channels;
      expect(shown(plain!, 1000)).toBeCloseTo(0.12, 5);
      const [wished] = settle({ matrix: SHO, stretch: { S: { background: 0.5 } } }, some, findings).settled.channels;
      expect(shown(wished!, median)).toBeCloseTo(0.5, 5);
    }
  });

  it('takes level and noise that were found elsewhere in the place of those after clipping', () => {
    const findings = { S: { background: { level: 1200, noise: 20 } } };
    const [s] = settle({ matrix: SHO }, lines, findings).settled.channels;
    expect(s).toMatchObject({ background: 1200, black: -60, white: 4800 });
  });

  it('takes the noise of a pixel for a footing of noise where it was found, else that after clipping', () => {
    const width = ({ black, white }: SettledChannel) => white - black;
    const [s, h] = settle({ matrix: SHO, scale: 'noise' }, [lines[0]!, measured('H', { spread: 25 }), lines[2]!])
      .settled.channels;
    expect(width(s!) / width(h!)).toBeCloseTo(2, 5);
    const findings = { S: { pixelNoise: 10 }, H: { pixelNoise: 40 } };
    const [one, other] = settle({ matrix: SHO, scale: 'noise' }, lines, findings).settled.channels;
    expect(width(one!) / width(other!)).toBeCloseTo(0.25, 5);
  });

  it('keeps channels linear in light and finds one curve for the intensity', () => {
    const { channels, intensity } = settledOf({ mixIn: 'light', stretch: { '*': { curve: 'asinh' } } });
    expect(channels.every(({ stretch }) => stretch.curve === 'linear')).toBe(true);
    expect(intensity?.curve).toBe('asinh');
  });

  it('turns lightness into weights', () => {
    expect(settledOf({ lightness: 'H' }).lightness).toEqual([0, 1, 0]);
    expect(settledOf({ lightness: [1, 2, 0] }).lightness).toEqual([1, 2, 0]);
    expect(settledOf({}).lightness).toBeUndefined();
    const least = settle(
      { matrix: SHO, lightness: 'least-noise' },
      [lines[0]!, lines[0]!, measured('O', { spread: 100 })].map((m, i) => ({ ...m, name: 'SHO'[i]! })),
    );
    const [s, h, o] = least.settled.lightness!;
    expect(s! + h! + o!).toBeCloseTo(1, 12);
    expect(s).toBe(h);
    expect(o).toBeLessThan(s!);
  });

  it('warns of masters that are flat or look stretched', () => {
    const odd = [measured('S', { flat: true, min: 5, max: 5 }), measured('H', { stretched: true }), lines[2]!];
    const { warnings, settled } = settle({ matrix: SHO }, odd);
    expect(warnings).toEqual([
      expect.stringMatching(/S .*one value everywhere/),
      expect.stringMatching(/H .*stretched already/),
    ]);
    expect(settled.channels[0]!.stretch).toEqual({ curve: 'linear' });
    const told = settle({ matrix: SHO, stretch: { H: { curve: 'linear' } } }, odd).warnings;
    expect(told).toHaveLength(1);
  });

  it('gives the same numbers every time', () => {
    const recipe: Recipe = { matrix: SHO, scale: 'together', greenLimit: 0.5 };
    expect(settle(recipe, lines)).toEqual(settle(structuredClone(recipe), structuredClone(lines)));
  });
});
