import type { FoundStars } from '../../stars/star-list.ts';
import { USUAL_STAR_RADIUS } from '../written/limits.ts';
import type { Recipe } from '../written/schema.ts';
import { changesOwnStars } from '../written/star-wish.ts';
import type { SettledOwnStars } from './settled.ts';

/** What becomes of the stars that were found, and what to say of it. */
export const settleOwnStars = (
  { stars }: Pick<Recipe, 'stars'>,
  list: FoundStars | undefined,
): { readonly ownStars?: SettledOwnStars; readonly warnings: readonly string[] } => {
  if (stars === undefined || !changesOwnStars(stars)) return { warnings: [] };
  if (list === undefined) return { warnings: ['the stars of the masters were not looked for: they stay as they are'] };
  if (list.count === 0) return { warnings: ['no stars are found in these masters: nothing is done about them'] };
  const { neutral = 1, size = 1, tint, radius = USUAL_STAR_RADIUS } = stars;
  const light = tint ?? [1, 1, 1];
  const most = Math.max(...light);
  const ownStars: SettledOwnStars = {
    neutral,
    size,
    tint: most > 0 ? [light[0] / most, light[1] / most, light[2] / most] : [1, 1, 1],
    radius,
    count: list.count,
    hash: list.hash,
    list,
  };
  return { ownStars, warnings: [] };
};
