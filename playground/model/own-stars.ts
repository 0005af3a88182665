import type { StarsWish, WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { changesOwnStars } from '../../lib/recipe/written/star-wish.ts';

/** What a recipe does about the stars of the masters, as the page shows it. */
export interface OwnStars {
  /** 0 for the colour that the mix gives them … 1. */
  readonly neutral: number;
  /** 0 for none … 1 for all of their light. */
  readonly size: number;
  /** The colour of neutral stars; undefined for white. */
  readonly tint: StarsWish['tint'];
}

const AS_THEY_ARE: OwnStars = { neutral: 0, size: 1, tint: undefined };

export const ownStarsOf = ({ stars }: WrittenRecipe): OwnStars =>
  stars?.from === 'masters' ? { neutral: stars.neutral ?? 1, size: stars.size ?? 1, tint: stars.tint } : AS_THEY_ARE;

/** The recipe with another number or colour; stars that stay as they are leave no trace in it. */
export const withStarsOf = (recipe: WrittenRecipe, part: Partial<OwnStars>): WrittenRecipe => {
  const { stars: before, ...rest } = recipe;
  const { neutral, size, tint } = { ...ownStarsOf(recipe), ...part };
  if (neutral === 0 && size === 1) return rest;
  const radius = before?.from === 'masters' ? before.radius : undefined;
  return {
    ...rest,
    stars: {
      from: 'masters',
      neutral,
      ...(size !== 1 && { size }),
      ...(tint !== undefined && { tint }),
      ...(radius !== undefined && { radius }),
    },
  };
};

/** The recipe that leaves the stars of the masters as they are, so that a picture of stars can lie over it. */
export const withPicturedStars = (recipe: WrittenRecipe): WrittenRecipe => withStarsOf(recipe, AS_THEY_ARE);

/** The same mix with its stars as they are; undefined where it does not change them. */
export const starsAsTheyAre = (recipe: WrittenRecipe): WrittenRecipe | undefined =>
  changesOwnStars(recipe.stars) ? withPicturedStars(recipe) : undefined;
