import { describe, expect, it } from 'vitest';
import { describeRecipe } from '../../../lib/recipe/share/describe.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import { withLineColour } from '../../../lib/recipe/written/recolour.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';

const recolour = async (recipe: WrittenRecipe, line: string, colour: string | { wavelength: number }) =>
  withLineColour(recipe, await plainRecipe(recipe), line, colour);
const colours = async (recipe: WrittenRecipe) =>
  Object.fromEntries((await describeRecipe(recipe)).lines.map(({ name, hex }) => [name, hex]));

const teal: WrittenRecipe = {
  channels: ['H', 'O'],
  knobs: { share: { value: 0.25 } },
  matrix: [
    ['1 - share', 0],
    [0, 1],
    ['share', 1],
  ],
};

describe('a line of another colour', () => {
  it('has exactly that colour, and the others keep theirs', async () => {
    const before = await colours(teal);
    const after = await colours(await recolour(teal, 'O', '#336699'));
    expect(after).toEqual({ ...before, O: '#336699' });
  });

  it('keeps expressions of other lines', async () => {
    const { matrix, knobs } = await recolour(teal, 'O', 'rgb(0% 50% 100%)');
    expect(matrix).toEqual([
      ['1 - share', 0],
      [0, 0.5],
      ['share', 1],
    ]);
    expect(knobs).toEqual(teal.knobs);
  });

  it.each(['rows', 'peak', 'absolute', 'white'] as const)('undoes no colour by the balance %s', async (balance) => {
    const recipe: WrittenRecipe = { ...teal, balance, white: { '*': 1 } };
    const before = await colours(recipe);
    const changed = await recolour(recipe, 'H', '#804020');
    expect(changed.balance).toBe('as-written');
    expect(await colours(changed)).toEqual({ ...before, H: '#804020' });
  });

  it('is solved in light where light is mixed', async () => {
    const recipe: WrittenRecipe = { ...teal, mixIn: 'light', space: 'display-p3' };
    expect((await colours(await recolour(recipe, 'H', '#804020'))).H).toBe('#804020');
  });

  it('is written as a colour in a recipe of colours', async () => {
    const recipe: WrittenRecipe = { lines: { H: 'red', O: 'teal' } };
    expect((await recolour(recipe, 'O', { wavelength: 500.7 })).lines).toEqual({
      H: 'red',
      O: { wavelength: 500.7 },
    });
  });

  it.each(['rows', 'peak', 'absolute'] as const)(
    'is written as a colour, and the others as the balance %s left them',
    async (balance) => {
      for (const space of ['srgb', 'display-p3'] as const) {
        const recipe: WrittenRecipe = { lines: { S: '#ff8000', H: '#ff4040', O: '#20c0ff' }, balance, space };
        const before = await colours(recipe);
        const changed = await recolour(recipe, 'O', '#336699');
        expect(changed.balance).toBe('as-written');
        expect(changed.lines!.O).toBe('#336699');
        expect(await colours(changed)).toEqual({ ...before, O: '#336699' });
      }
    },
  );

  it('may be new to the recipe', async () => {
    const changed = await recolour({ ...teal, lightness: [1, 0] }, 'S', '#ff0000');
    expect(changed.channels).toEqual(['H', 'O', 'S']);
    expect(changed.matrix![0]).toEqual(['1 - share', 0, 1]);
    expect(changed.lightness).toEqual([1, 0, 0]);
    await expect(plainRecipe(changed)).resolves.toBeDefined();
  });

  it('is refused where it is no colour', async () => {
    await expect(recolour(teal, 'O', 'no colour')).rejects.toMatchObject({ tag: 'recipe' });
    await expect(recolour(teal, 'O', 'rgb(0 0 0 / 50%)')).rejects.toMatchObject({ tag: 'recipe' });
  });
});
