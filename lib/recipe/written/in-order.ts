import { RECIPE_VERSION } from './limits.ts';
import { checkedRecipe } from './parse.ts';
import type { WrittenRecipe } from './schema.ts';

/**
 * A recipe as it is written into files, links and pictures: with its version, and with its keys in the order of the
 * schema, whatever the order in which they were set; `x-` keys last. Whoever writes the same recipe writes the same bytes.
 * @throws LinewashError 'recipe' as `checkedRecipe` does
 */
export const inOrder = (recipe: WrittenRecipe): WrittenRecipe => checkedRecipe({ linewash: RECIPE_VERSION, ...recipe });
