import { checkSizes } from '../../measure/measure.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { combinationNotes, withCombinations } from '../../recipe/settle/combinations.ts';
import { statesAllNumbers } from '../../recipe/settle/complete.ts';
import { type SmallChannels, settlePrepared, smallOf } from '../../recipe/settle/settle-prepared.ts';
import type { Recipe } from '../../recipe/written/schema.ts';
import type { SettledLines } from '../../work/open-lines.ts';
import type { FindingsCache } from '../cache/findings-cache.ts';
import type { Master } from './masters.ts';
import { type MisfitDepth, misfitsOnce } from './misfits.ts';
import { prepareOnce } from './preparations.ts';

export interface SettleOptions extends StripOptions {
  /** How closely masters are looked at for what does not fit; at their pictures where these are measured anyway, by default. */
  readonly depth?: MisfitDepth | undefined;
  /** Makes small copies of the masters; who keeps some gives them. */
  readonly small?: SmallChannels | undefined;
}

/** Prepares and measures masters, settles a recipe on them, and notes what speaks against mixing them. */
export const settleMasters = async (
  recipe: Recipe,
  masters: readonly Master[],
  { signal, executor, progress, small, depth = statesAllNumbers(recipe) ? 'headers' : 'pictures' }: SettleOptions = {},
  cache?: FindingsCache,
): Promise<SettledLines> => {
  checkSizes(masters);
  // Both at once: what one thread compares, others count meanwhile.
  const [preparation, misfits] = await allOf([
    prepareOnce(recipe, masters, { signal, executor, progress }, cache),
    misfitsOnce(recipe, masters, depth, { signal, executor }, cache),
  ]);
  const { measured, warnings } = preparation;
  const result = await settlePrepared(recipe, preparation, small ?? smallOf(masters, { signal, executor }));
  return {
    settled: withCombinations(result.settled, masters),
    measured,
    notes: [...combinationNotes(masters), ...misfits],
    warnings: [...warnings, ...result.warnings],
  };
};

/** Waits for both even where one fails: none may read masters that are closed by then. */
const allOf = async <A, B>(work: readonly [Promise<A>, Promise<B>]): Promise<[A, B]> => {
  await Promise.allSettled(work);
  return Promise.all(work);
};
