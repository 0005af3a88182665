import { type Channel, checkSizes } from '../measure/measure.ts';
import { inputError } from '../plane/errors.ts';
import { memoAsync } from '../plane/memo.ts';
import { planeSource } from '../plane/memory-plane.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { shrink } from '../plane/shrink.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { SettledStars } from '../recipe/settle/settled.ts';
import { settleStars } from '../recipe/settle/stars.ts';
import type { Recipe, StarsWish } from '../recipe/written/schema.ts';
import { changesOwnStars } from '../recipe/written/star-wish.ts';

/** A picture of the stars, open. */
export interface OpenStars {
  /** Red, green and blue at full size. */
  readonly sources: readonly PlaneSource[];
  /** Its numbers as a recipe asks for them. */
  settled(wish: StarsWish | undefined, options: StripOptions): Promise<SettledStars>;
  /** Copies in memory whose longer side is at most `longest` pixels. */
  small(longest: number, options: StripOptions): Promise<readonly PlaneSource[]>;
}

/** Whatever is derived from the pictures is made once, when first asked for. @param sources red, green and blue */
export const starsOf = (sources: readonly PlaneSource[]): OpenStars => {
  const settled = memoAsync((key, options) => settleStars(JSON.parse(key), sources, options));
  const small = memoAsync(async (key, options): Promise<readonly PlaneSource[]> => {
    const copies = new Map<PlaneSource, PlaneSource>();
    // A picture without colour is one source thrice.
    for (const source of new Set(sources))
      copies.set(source, planeSource(source.file, await shrink(source, Number(key), options), source.facts));
    return sources.map((source) => copies.get(source)!);
  });
  return {
    sources,
    settled: (wish, options) => settled(JSON.stringify(wish ?? {}), options),
    small: (longest, options) => small(String(longest), options),
  };
};

/** @throws LinewashError 'input' where the stars have another size than the masters, or the recipe takes those of the masters. */
export const checkStars = (
  first: Channel,
  { sources }: Pick<OpenStars, 'sources'>,
  recipe: Pick<Recipe, 'stars'> = {},
): void => {
  checkSizes([first, ...sources.map((source) => ({ name: 'stars', source }))]);
  if (changesOwnStars(recipe.stars))
    throw inputError(
      `${sources[0]!.file} is a picture of stars, but the recipe takes the stars of the masters`,
      'leave the picture out, or change "from" in the stars of the recipe',
    );
};
