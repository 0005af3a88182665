import type { Recipe, WrittenRecipe } from './schema.ts';

/** Whether a recipe changes the stars of the masters: then they have to be found. */
export const changesOwnStars = (stars: Recipe['stars'] | WrittenRecipe['stars']): boolean =>
  stars?.from === 'masters' && ((stars.neutral ?? 1) > 0 || (stars.size ?? 1) !== 1);
