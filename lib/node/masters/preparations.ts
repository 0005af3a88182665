import { checkSizes } from '../../measure/measure.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { type Preparation, preparationKey, prepareChannels } from '../../recipe/settle/channels.ts';
import { statesAllNumbers, withoutMeasuring } from '../../recipe/settle/complete.ts';
import { usedChannels } from '../../recipe/settle/settle.ts';
import type { Recipe } from '../../recipe/written/schema.ts';
import { PREPARATION } from '../cache/finding-kinds.ts';
import { type FindingsCache, NO_CACHE } from '../cache/findings-cache.ts';
import { recollection } from '../files/file-identity.ts';
import type { Master } from './master.ts';
import { findOnce } from './memo.ts';

const known = recollection<Preparation>(64);

/**
 * Prepares and measures masters as a recipe asks; not again where this process did the same for the same files before,
 * and not at all where the recipe states every number itself.
 * @throws LinewashError as `prepareChannels` does
 */
export const prepareOnce = async (
  recipe: Recipe,
  masters: readonly Master[],
  options: StripOptions,
  cache: FindingsCache = NO_CACHE,
): Promise<Preparation> => {
  if (statesAllNumbers(recipe)) {
    checkSizes(masters);
    return { measured: withoutMeasuring(masters), findings: {}, warnings: [] };
  }
  const question = [preparationKey(recipe), masters.map(({ name }) => name)];
  return findOnce(
    { kind: PREPARATION, known, cache },
    question,
    masters,
    () => prepareChannels(recipe, masters, options),
    (preparation) => isOf(recipe, masters, preparation),
  );
};

/** Whether numbers can be those of these masters: of each line that is used, of its size, and no other. */
const isOf = (recipe: Recipe, masters: readonly Master[], { measured, findings }: Preparation): boolean =>
  measured.map(({ name }) => name).join() === usedChannels(recipe).join() &&
  measured.every(({ name, width, height, counted, undefined: missing }) => {
    const source = masters.find((master) => master.name === name)?.source;
    return source?.width === width && source.height === height && counted + missing <= width * height;
  }) &&
  Object.keys(findings).every((name) => masters.some((master) => master.name === name));
