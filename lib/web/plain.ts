import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';

/** Whether every weight is a number already, and no colour is written as a text. */
const isPlain = ({ matrix, lightness, smooth, stars }: WrittenRecipe): boolean => {
  if (typeof smooth?.strength === 'string' || typeof stars?.tint === 'string') return false;
  const rows = [...(matrix ?? [['']]), ...(Array.isArray(lightness) ? [lightness] : [])];
  return rows.every((row) => row.every((weight) => typeof weight === 'number'));
};

/**
 * The recipe with every weight a number. What computes expressions and colours is loaded only for a recipe that has some.
 * @throws LinewashError 'recipe' where a weight cannot be computed.
 */
export const plainOf = async (written: WrittenRecipe): Promise<Recipe> =>
  isPlain(written) ? (written as Recipe) : (await import('../recipe/written/plain.ts')).plainRecipe(written);
