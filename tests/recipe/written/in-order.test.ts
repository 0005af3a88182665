import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { recipeFromLink, recipeLink } from '../../../lib/recipe/share/link.ts';
import { parseRecipe } from '../../../lib/recipe/written/parse.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { recipeText } from '../../../lib/recipe/written/serialize.ts';
import { pictureNote } from '../../../lib/work/note.ts';
import { withWeight } from '../../../playground/model/columns.ts';
import { SETTLED } from '../../hours/settled.ts';
import { lineRecipe, rowRecipe } from './arbitrary.ts';

/** What a picture carries that is made with a recipe. */
const noteOf = (recipe: WrittenRecipe): string =>
  pictureNote(recipe, SETTLED, [{ channel: 'H', file: 'H.fits' }], { sample: 'u16', usual: 'u16' });

/** The same recipe as if its keys had been set in another order, in parts that are no tables by channel too. */
const turned = (recipe: WrittenRecipe): WrittenRecipe => {
  const { background, ...rest } = recipe;
  const all = background === undefined ? rest : { ...rest, background: reversed(background) };
  return reversed(all);
};
const reversed = <T extends object>(record: T): T => Object.fromEntries(Object.entries(record).reverse()) as T;

describe('the order of keys in what is written', () => {
  it('is one whatever was set first: a renamed, changed mix carries what its copied command carries', async () => {
    const { name: _, ...rest } = catalogueRecipe('sho');
    const renamed = withWeight({ ...rest, name: 'Mine' }, undefined, 1, 'O', 0.25);
    expect(Object.keys(renamed).indexOf('name')).toBeGreaterThan(2);
    const byCommand = await recipeFromLink(await recipeLink(renamed));
    expect(noteOf(renamed)).toBe(noteOf(byCommand));
    expect(recipeText(renamed)).toBe(recipeText(byCommand));
  });

  it('is that of the schema in files, links and pictures', async () => {
    await fc.assert(
      fc.asyncProperty(fc.oneof(rowRecipe, lineRecipe), async (recipe) => {
        const other = turned(recipe);
        expect(recipeText(other)).toBe(recipeText(recipe));
        expect(noteOf(other)).toBe(noteOf(recipe));
        expect(await recipeLink(other)).toBe(await recipeLink(recipe));
        expect(noteOf(parseRecipe(recipeText(other)))).toBe(noteOf(recipe));
      }),
      { numRuns: 60 },
    );
  });
});
