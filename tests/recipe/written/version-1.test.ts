import { describe, expect, it } from 'vitest';
import { recipeFromLink, recipeLink } from '../../../lib/recipe/share/link.ts';
import { parseNote } from '../../../lib/recipe/share/note.ts';
import { recipeHash } from '../../../lib/recipe/written/hash.ts';
import { loadRecipe, parseRecipe } from '../../../lib/recipe/written/parse.ts';
import { recipeText } from '../../../lib/recipe/written/serialize.ts';
import golden from '../../golden/recipe/version-1.json';
import { SHO } from './fault.ts';

describe('a recipe of version 1', () => {
  it.each(golden.written)('%s keeps its hash', async (text, hash) => {
    expect(await recipeHash(await loadRecipe(text!))).toBe(hash);
  });

  it('keeps the gamut method that it meant, also when it is written again', () => {
    const recipe = parseRecipe(JSON.stringify({ linewash: 1, matrix: SHO }));
    expect(recipe).toEqual({ linewash: 2, matrix: SHO, gamut: 'chroma' });
    expect(parseRecipe(recipeText(recipe))).toEqual(recipe);
    expect(parseRecipe(JSON.stringify({ linewash: 1, matrix: SHO, gamut: 'clip' })).gamut).toBe('clip');
  });

  it('is what links and notes of that time hold, even where the recipe does not say so', async () => {
    for (const link of golden.links) expect((await recipeFromLink(link)).gamut).toBe('chroma');
    const { recipe } = await parseNote(JSON.stringify({ linewash: 1, recipe: { matrix: SHO }, settled: {} }));
    expect(recipe.gamut).toBe('chroma');
  });
});

it('a recipe without a version means the present one, and says so in links', async () => {
  expect(parseRecipe(JSON.stringify({ matrix: SHO }))).toEqual({ matrix: SHO });
  expect(await recipeFromLink(await recipeLink({ matrix: SHO }))).toEqual({ linewash: 2, matrix: SHO });
  expect(await recipeHash({ matrix: SHO })).not.toBe(golden.written[0]![1]);
});

it('a background surface of version 1 without an order means order 2, and keeps its hash', async () => {
  const surface = (version: number, more: object) =>
    loadRecipe(
      JSON.stringify({ linewash: version, matrix: SHO, gamut: 'chroma', background: { model: 'surface', ...more } }),
    );
  const old = await surface(1, {});
  expect(old.background).toEqual({ order: 2, model: 'surface' });
  expect(await recipeHash(old)).toBe(golden.surface);
  expect(await recipeHash(await surface(2, { order: 2 }))).toBe(golden.surface);
  expect(await recipeHash(await surface(2, {}))).not.toBe(golden.surface);
});
