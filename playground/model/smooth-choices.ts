import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';

type WrittenSmooth = NonNullable<WrittenRecipe['smooth']>;

/** The recipe with another smoothing; one that says nothing is left out. */
const withSmooth = (recipe: WrittenRecipe, smooth: WrittenSmooth): WrittenRecipe => {
  const { smooth: _, ...rest } = recipe;
  const said = Object.entries(smooth).filter(
    ([key, value]) => value !== undefined && !(key === 'strength' && value === 0),
  );
  return said.length === 0 ? rest : { ...rest, smooth: Object.fromEntries(said) };
};

/** Another strength, 0…1; a number in the place of an expression. */
export const withSmoothing = (recipe: WrittenRecipe, strength: number): WrittenRecipe =>
  withSmooth(recipe, { ...recipe.smooth, strength });

/** Another guide, which is smoothed no longer; undefined: the line with the most signal over noise. */
export const withGuide = (recipe: WrittenRecipe, guide: string | undefined): WrittenRecipe => {
  const lines = recipe.smooth?.lines?.filter((line) => line !== guide);
  return withSmooth(recipe, { ...recipe.smooth, guide, lines: lines?.length ? lines : undefined });
};

/** Other lines to smooth; undefined: all but the guide. */
export const withSmoothedLines = (recipe: WrittenRecipe, lines: readonly string[] | undefined): WrittenRecipe =>
  withSmooth(recipe, { ...recipe.smooth, lines: lines && [...lines] });

/** The same mix before smoothing; undefined where it is not smoothed. */
export const unsmoothed = ({ smooth, ...rest }: WrittenRecipe): WrittenRecipe | undefined =>
  smooth?.strength ? rest : undefined;

/** Whether a recipe may take noise from a line. */
export const smoothsLine = ({ smooth }: WrittenRecipe, line: string): boolean =>
  Boolean(smooth?.strength) && smooth?.guide !== line && (smooth?.lines?.includes(line) ?? true);
