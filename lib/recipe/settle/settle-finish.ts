import type { ChromaGain, Finish } from '../../finish/finish.ts';
import { bendsOf } from '../written/finish-wish.ts';
import { USUAL_FADE, USUAL_UNTIL } from '../written/limits.ts';
import type { FinishWish, Recipe } from '../written/schema.ts';

/** Whether a finish has a gain on chroma to be found from the picture. */
export const asksForGain = ({ finish }: Pick<Recipe, 'finish'>): boolean => {
  const chroma = finish?.chroma;
  return chroma !== undefined && (chroma === 'auto' || chroma.gain === undefined);
};

/** Whether a finish needs to know the sky. */
export const asksForSky = ({ finish }: Pick<Recipe, 'finish'>): boolean => {
  const chroma = finish?.chroma;
  return chroma !== undefined && (chroma === 'auto' || chroma.from === undefined);
};

/** OKLab lightness of a sky that is shown at the usual level, .12: it stands for the sky where no masters are at hand. */
const USUAL_SKY = 0.2376;

/** What a recipe says of its finish before it has seen any masters; a gain that has to be found is left out. */
export const statedFinish = (recipe: Pick<Recipe, 'finish'>): Finish | undefined => {
  if (!asksForGain(recipe)) return settleFinish(recipe);
  const { chroma: _, ...rest } = recipe.finish!;
  return partsOf(rest);
};

/**
 * The finish of a recipe with its numbers, but for those that have to be found from the picture: a gain is 1 then, and it begins
 * at the lightness of a usual sky.
 */
export const settleFinish = ({ finish }: Pick<Recipe, 'finish'>): Finish | undefined => {
  if (finish === undefined) return undefined;
  const { chroma, ...rest } = finish;
  return partsOf(rest, chroma === undefined ? undefined : gainOf(chroma === 'auto' ? {} : chroma));
};

const partsOf = (wish: Omit<FinishWish, 'chroma'>, chroma?: ChromaGain): Finish | undefined => {
  const { tone = [] } = wish;
  const bends = bendsOf(wish);
  const parts: Finish = {
    ...(tone.length > 0 && { tone: tone.map(([x, y]) => [x, y] as const) }),
    ...(chroma && { chroma }),
    ...(bends.length > 0 && { bends }),
  };
  return Object.keys(parts).length > 0 ? parts : undefined;
};

type GainWish = Exclude<NonNullable<FinishWish['chroma']>, 'auto'>;

const gainOf = ({ gain = 1, from = USUAL_SKY, to, until = USUAL_UNTIL }: GainWish): ChromaGain => ({
  gain,
  from,
  to: endOf(from, to),
  until,
});

/** Where a gain counts in full. A sky as bright as the recipe's own end still leaves room for the gain to rise. */
export const endOf = (from: number, to: number | undefined): number =>
  to !== undefined && to > from ? to : Number((from + USUAL_FADE).toFixed(4));
