import type { LinewashError } from '../../lib/plane/errors.ts';
import type { LineColourEntry } from '../../lib/recipe/written/schema.ts';
import { plainOf } from '../../lib/web/plain.ts';
import { text } from '../text-line-colour.ts';
import { $recipe, changeRecipe } from './recipe.ts';

let asked = 0;

/**
 * Gives a line a colour; the weights follow. What solves colours is loaded when the first one is chosen, and only the
 * last choice made meanwhile counts.
 * @returns what is wrong with the colour, in words
 */
export const chooseColour = async (line: string, colour: LineColourEntry): Promise<string | undefined> => {
  const own = ++asked;
  const { withLineColour } = await import('../../lib/recipe/written/recolour.ts');
  try {
    const recipe = $recipe.get();
    const plain = await plainOf(recipe);
    const changed = await withLineColour(recipe, plain, line, colour);
    if (own === asked) changeRecipe(changed, text.set(line), `colour ${line}`);
    return undefined;
  } catch (error) {
    const { faults = [], message } = error as LinewashError;
    return faults[0]?.message ?? message;
  }
};
