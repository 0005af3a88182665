import type { StarsWish, WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { CurveName } from '../../lib/stretch/curves.ts';

/** Curves that a picture of the stars can be given; one by points only where the recipe has some. */
export const STAR_CURVES = ['linear', 'power', 'log', 'asinh', 'bias'] as const satisfies readonly CurveName[];

/** What a recipe says of the stars, as the page shows it; undefined where the picture itself decides. */
export const starsOf = ({ stars = {} }: WrittenRecipe) => {
  const { strength = 1, stretch = {}, levels: { black, white } = {} } = stars;
  return {
    strength,
    curve: stretch.curve,
    level: stretch.background ?? 0.2,
    /** Times the noise above its sky; numbers of the file are left as written. */
    black: typeof black === 'object' ? -black.noise : undefined,
    white: typeof white === 'object' ? white.percentile : undefined,
  };
};

/** The recipe with other stars; what says nothing is left out. */
const withStars = (recipe: WrittenRecipe, stars: StarsWish): WrittenRecipe => {
  const { stars: _, ...rest } = recipe;
  const said = Object.entries(stars).filter(
    ([, value]) => typeof value !== 'object' || Object.values(value).some((part) => part !== undefined),
  );
  return said.length === 0 ? rest : { ...rest, stars: Object.fromEntries(said) };
};

export const withStrength = (recipe: WrittenRecipe, strength: number): WrittenRecipe => {
  const { strength: _, ...others } = recipe.stars ?? {};
  return withStars(recipe, strength === 1 ? others : { ...others, strength });
};

/** Another curve; its parameter is found anew. Undefined: what suits the picture. */
export const withStarCurve = (recipe: WrittenRecipe, curve: CurveName | undefined): WrittenRecipe => {
  const { stretch: { background } = {}, ...others } = recipe.stars ?? {};
  const stretch = { ...(curve && { curve }), ...(background !== undefined && { background }) };
  return withStars(recipe, { ...others, stretch });
};

/** The level at which 2 % of white appears. */
export const withStarLevel = (recipe: WrittenRecipe, background: number): WrittenRecipe => {
  const { a: _, ...stretch } = recipe.stars?.stretch ?? {};
  return withStars(recipe, { ...recipe.stars, stretch: { ...stretch, background } });
};

export const withStarBlack = (recipe: WrittenRecipe, noise: number | undefined): WrittenRecipe => {
  const { black: _, ...levels } = recipe.stars?.levels ?? {};
  return withStars(recipe, {
    ...recipe.stars,
    levels: { ...levels, ...(noise !== undefined && { black: { noise: -noise } }) },
  });
};

export const withStarWhite = (recipe: WrittenRecipe, percentile: number | undefined): WrittenRecipe => {
  const { white: _, ...levels } = recipe.stars?.levels ?? {};
  return withStars(recipe, {
    ...recipe.stars,
    levels: { ...levels, ...(percentile !== undefined && { white: { percentile } }) },
  });
};
