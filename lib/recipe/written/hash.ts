import { canonicalForm } from './canonical.ts';
import type { WrittenRecipe } from './schema.ts';
import { sha256 } from './sha256.ts';

/**
 * A short name for what a recipe does, equal for all recipes that make the same picture of the same masters:
 * the first twelve hexadecimal digits of the SHA-256 of its canonical form, in groups of four.
 * @throws LinewashError as `plainRecipe` does
 */
export const recipeHash = async (recipe: WrittenRecipe): Promise<string> => {
  const text = JSON.stringify(await canonicalForm(recipe));
  return sha256(new TextEncoder().encode(text))
    .slice(0, 12)
    .replace(/(?<=^(?:.{4})+)(?=.)/g, '-');
};
