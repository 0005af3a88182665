import { describe, expect, it } from 'vitest';
import type { Channel } from '../../../lib/measure/measure.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { framePosition } from '../../../lib/prepare/background/surface.ts';
import { neededChannels, prepareChannels } from '../../../lib/recipe/settle/channels.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import { settledRecipe } from '../../../lib/recipe/settle/settled-recipe.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { random } from '../../../samples/scene/random.ts';

const SIZE = { width: 160, height: 120 };
/** Stars of several strengths, 20 pixels apart. */
const star = (x: number, y: number) => {
  const [cx, cy] = [20 * Math.round(x / 20), 20 * Math.round(y / 20)];
  const strength = 300 + 40 * ((cx / 20 + 3 * (cy / 20)) % 11);
  return strength * Math.exp(-((x - cx) ** 2 + (y - cy) ** 2) / 3);
};
const channel = (name: string, seed: number, value: (x: number, y: number) => number): Channel => {
  const rng = random(seed, 1);
  const data = Float32Array.from(
    { length: SIZE.width * SIZE.height },
    (_, i) => value(i % SIZE.width, Math.floor(i / SIZE.width)) + 0.4 * rng.normal(),
  );
  return { name, source: planeSource(`${name}.fits`, { ...SIZE, data }) };
};
const R = channel('R', 1, (x, y) => 1000 + star(x, y));
const H = channel('H', 2, (x, y) => 200 + 0.3 * star(x, y));
const O = channel('O', 3, (x, y) => 100 + 0.1 * star(x, y));
const HO: Recipe = {
  channels: ['H', 'O'],
  matrix: [
    [1, 0],
    [0, 1],
    [0, 1],
  ],
};

describe('light of another picture that is taken off a line', () => {
  it('is found from the stars for each line by itself', async () => {
    const recipe: Recipe = { ...HO, continuum: { H: { from: 'R' }, O: { from: 'R' } } };
    expect(neededChannels(recipe)).toEqual(['H', 'O', 'R']);
    const { findings, warnings, measured } = await prepareChannels(recipe, [H, O, R]);
    expect(findings.H!.continuum).toMatchObject({ from: 'R', k: expect.closeTo(0.3, 1) });
    expect(findings.O!.continuum!.k / 0.1).toBeCloseTo(1, 1);
    for (const { continuum } of [findings.H!, findings.O!]) {
      expect(Math.abs(continuum!.background - 1000)).toBeLessThan(2);
      expect('surface' in continuum!).toBe(false);
    }
    expect(warnings).toHaveLength(2);
    // The stars are gone from what is measured: 0.3 times the brightest is 200 above the sky of 200.
    expect(measured.map(({ name }) => name)).toEqual(['H', 'O']);
    expect(measured[0]!.max).toBeLessThan(250);
  });

  it('is looked for only for lines that the mix uses, and a given share is taken as it is', async () => {
    const recipe: Recipe = {
      ...HO,
      matrix: [
        [1, 0],
        [1, 0],
        [1, 0],
      ],
      continuum: { H: { from: 'R', k: 0.25 }, O: { from: 'R' } },
    };
    expect(neededChannels(recipe)).toEqual(['H', 'R']);
    const { findings, warnings } = await prepareChannels(recipe, [H, R]);
    expect(Object.keys(findings)).toEqual(['H']);
    expect(findings.H!.continuum!.k).toBe(0.25);
    expect(warnings).toEqual([]);
  });

  it('is measured over the sky without its gradient, which is then noted with it', async () => {
    const slope = (x: number) => 60 * framePosition(x, SIZE.width);
    const leaning = channel('R', 1, (x, y) => 1000 + star(x, y) + slope(x));
    const background = { model: 'surface', order: 1 } as const;
    const { findings } = await prepareChannels({ ...HO, background, continuum: { H: { from: 'R' } } }, [H, O, leaning]);
    const { k, surface, background: level } = findings.H!.continuum!;
    expect(k / 0.3).toBeCloseTo(1, 1);
    expect(surface).toEqual(findings.R!.surface);
    expect(Math.max(...surface!.coefficients.map(Math.abs)) / 60).toBeCloseTo(1, 0);
    expect(Math.abs(level - 1000)).toBeLessThan(5);
  });

  it('is refused where there are too few stars, with the file that has them', async () => {
    const dark = channel('R', 5, () => 1000);
    await expect(prepareChannels({ ...HO, continuum: { H: { from: 'R' } } }, [H, O, dark])).rejects.toMatchObject({
      tag: 'input',
      file: 'R.fits',
    });
  });

  it('stands in settled numbers and in the recipe made of them, and nowhere else', async () => {
    const recipe: Recipe = { ...HO, continuum: { H: { from: 'R', k: 0.25 } } };
    const { settled } = await settleChannels(recipe, [H, O, R]);
    expect(settled.channels.map((c) => 'continuum' in c)).toEqual([true, false]);
    const again = settledRecipe(settled, recipe);
    expect(again.continuum).toEqual({ H: { from: 'R', k: 0.25 } });
    const plain = (await settleChannels(HO, [H, O])).settled;
    expect('continuum' in settledRecipe(plain, HO)).toBe(false);
    const second = await settleChannels(again, [H, O, R]);
    expect(second.settled).toEqual(settled);
  });
});
