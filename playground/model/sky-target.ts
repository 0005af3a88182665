import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';

/** Where a line's background appears unless the recipe says otherwise: the default of settling. */
const DEFAULT_TARGET = 0.12;

/** The level at which a line's sky is shown; undefined where its curve has a fixed parameter or none. */
export const skyTarget = (recipe: WrittenRecipe, line: string): number | undefined => {
  const wish = { ...recipe.stretch?.['*'], ...recipe.stretch?.[line] };
  if (recipe.mixIn === 'light' || wish.a !== undefined || wish.curve === 'linear' || wish.curve === 'points')
    return undefined;
  return wish.background ?? DEFAULT_TARGET;
};

export const withSkyTarget = (recipe: WrittenRecipe, line: string, background: number): WrittenRecipe => ({
  ...recipe,
  stretch: { ...recipe.stretch, [line]: { ...recipe.stretch?.[line], background } },
});
