import type { StretchWish, WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { CURVE_NAMES, type CurveName } from '../../lib/stretch/curves.ts';

/** What a recipe says of the curve of a line (`*` for all), where the line itself says nothing, of all lines. */
export const curveOf = ({ stretch }: WrittenRecipe, line: string): StretchWish => ({
  ...stretch?.['*'],
  ...stretch?.[line],
});

/** The families of curves that can be chosen: `points` only where the recipe has some. */
export const curveChoices = (recipe: WrittenRecipe, line: string): readonly CurveName[] =>
  CURVE_NAMES.filter((name) => name !== 'points' || curveOf(recipe, line).points !== undefined);

/** The recipe with another family of curves for a line: its parameter is found anew, the sky stays where it is shown. */
export const withCurve = (recipe: WrittenRecipe, line: string, curve: CurveName): WrittenRecipe => {
  const { points, background } = curveOf(recipe, line);
  const wish: StretchWish = { curve, ...(background !== undefined && { background }) };
  if (curve === 'points' && points !== undefined) wish.points = points;
  return { ...recipe, stretch: { ...recipe.stretch, [line]: wish } };
};

/** Black, as times the noise below the sky, and white, as a percentile, of all lines; undefined where given otherwise. */
export const rangeOf = ({ levels }: WrittenRecipe) => {
  const { black = { noise: 3 }, white = { percentile: 99.9 } } = levels?.['*'] ?? {};
  return {
    black: typeof black === 'object' ? black.noise : undefined,
    white: typeof white === 'object' ? white.percentile : undefined,
  };
};

export const withBlack = (recipe: WrittenRecipe, noise: number): WrittenRecipe => ({
  ...recipe,
  levels: { ...recipe.levels, '*': { ...recipe.levels?.['*'], black: { noise } } },
});

export const withWhite = (recipe: WrittenRecipe, percentile: number): WrittenRecipe => ({
  ...recipe,
  levels: { ...recipe.levels, '*': { ...recipe.levels?.['*'], white: { percentile } } },
});
