import type { Recipe, WrittenRecipe } from './schema.ts';

/** Whether a recipe changes the stars of the masters: then they have to be found. */
export const changesOwnStars = (stars: Recipe['stars'] | WrittenRecipe['stars']): boolean =>
  stars?.from === 'masters' && ((stars.neutral ?? 1) > 0 || (stars.size ?? 1) !== 1);

/** The recipe with the stars of the masters as they are: for what does not depend on them, since finding them takes time. */
export const leavingOwnStars = (recipe: Recipe): Recipe => {
  const { stars, ...rest } = recipe;
  return changesOwnStars(stars) ? rest : recipe;
};

/** The recipe as one that changes the stars of the masters, whatever it does about stars: for whoever asks where they are. */
export const withOwnStars = (recipe: Recipe): Recipe =>
  recipe.stars?.from === 'masters'
    ? { ...recipe, stars: { ...recipe.stars, neutral: 1 } }
    : { ...recipe, stars: { from: 'masters' } };
