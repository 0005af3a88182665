import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { closeMasters, type Master, openMasters } from '../../../lib/node/masters/masters.ts';
import { settleMasters } from '../../../lib/node/masters/settle-masters.ts';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { usedChannels } from '../../../lib/recipe/settle/settle.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import { settledRecipe } from '../../../lib/recipe/settle/settled-recipe.ts';
import { checkedRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { recipeText } from '../../../lib/recipe/written/serialize.ts';
import { asWords, inFolder, linewash, SMALL } from '../../cli/capture.ts';

const ember = catalogueRecipe('ember');
const RECIPES: Record<string, WrittenRecipe> = {
  ember,
  'two of three lines': catalogueRecipe('hoo'),
  'an expression': catalogueRecipe('kiln'),
  'line colours mixed as light': catalogueRecipe('natural'),
  'one scale for all': catalogueRecipe('velvet'),
  'lightness from a line': catalogueRecipe('lantern'),
  'lightness of least noise': catalogueRecipe('calm'),
  'a green limit': catalogueRecipe('harvest'),
  'negative weights': catalogueRecipe('rims'),
  'a background surface': { ...ember, background: { model: 'surface', order: 2 } },
  'the most certain surface of each line': { ...ember, background: { model: 'surface' } },
  'surfaces of several orders, one with a shadow': {
    ...ember,
    background: {
      model: 'surface',
      coefficients: { H: [0, 3, -4] },
      surfaces: {
        O: {
          order: 2,
          coefficients: [0, 1, 2, 3, 4, 5],
          shade: { left: -1.1, top: -1.1, right: -0.5, bottom: 0, columns: 2, rows: 2, values: [-9, -3, -2, 0] },
          uncertainty: 1.5,
        },
      },
    },
  },
  'a level from dark blocks': { ...ember, background: { from: 'dark-blocks' } },
  'a fitted scale': { ...ember, scale: 'fit' },
  'no background, other curves': {
    ...ember,
    background: { model: 'none' },
    zeros: 'data',
    stretch: { S: { curve: 'linear' }, H: { curve: 'asinh' }, O: { curve: 'points', points: [[0.2, 0.6]] } },
    levels: { '*': { white: { percentile: 99.5 } }, H: { black: { noise: 2 } } },
  },
};

/** A number that is stated is no longer limited by anything. */
const withoutLimits = (settled: Settled): Settled => ({
  ...settled,
  channels: settled.channels.map(({ limits: _, ...channel }) => channel),
});

describe('settled numbers as a recipe', () => {
  const open = (zeros: WrittenRecipe['zeros']) => openMasters(SMALL, { zeros });
  const masters: Partial<Record<'undefined' | 'data', Master[]>> = {};
  beforeAll(async () => {
    masters.undefined = await open('undefined');
    masters.data = await open('data');
  });
  afterAll(() => Promise.all(Object.values(masters).map(closeMasters)));

  it.each(Object.entries(RECIPES))('settle to themselves: %s', async (_, written) => {
    const recipe = await plainRecipe(written);
    const used = usedChannels(recipe);
    const channels = masters[recipe.zeros ?? 'undefined']!.filter(({ name }) => used.includes(name));
    const { settled } = await settleMasters(recipe, channels);
    // Through text, as it travels.
    const again = checkedRecipe(JSON.parse(recipeText(settledRecipe(settled, recipe))));
    expect(again.name).toBe(written.name);
    const result = await settleMasters(await plainRecipe(again), channels);
    expect(result.settled).toEqual(withoutLimits(settled));
  });

  it('make the same picture, byte for byte', () =>
    inFolder(async (folder) => {
      const words = asWords(SMALL);
      const file = join(folder, 'settled.json');
      const ran = await linewash(['recipe', 'settle', 'kiln', '--knob', 'share=0.6', '--recipe', ...words]);
      expect(ran.code, ran.err).toBe(0);
      writeFileSync(file, ran.out);
      const pixels = async (recipe: readonly string[], name: string) => {
        const output = join(folder, name);
        expect((await linewash(['mix', ...recipe, ...words, '-o', output])).code).toBe(0);
        return sharp(output, { ignoreIcc: true }).raw({ depth: 'ushort' }).toBuffer();
      };
      const first = await pixels(['kiln', '--knob', 'share=0.6'], 'first.png');
      expect(first.equals(await pixels([file], 'second.png'))).toBe(true);
      expect(first.equals(await pixels(['kiln'], 'third.png'))).toBe(false);
    }));
});
