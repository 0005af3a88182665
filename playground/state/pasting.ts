import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { inputError } from '../../lib/plane/errors.ts';
import { isLink, recipeFromLink } from '../../lib/recipe/share/link.ts';
import { withKnobs } from '../../lib/recipe/written/knobs.ts';
import { loadRecipe } from '../../lib/recipe/written/parse.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { readCommand } from '../model/read-command.ts';
import { text } from '../text-keeping.ts';
import { report, say, unsay } from './messages.ts';
import { changeRecipe } from './recipe.ts';

/** The recipe in a text: JSON, a link, or a command line; undefined where it is none of them. */
const recipeIn = async (pasted: string): Promise<WrittenRecipe | undefined> => {
  const command = readCommand(pasted);
  if (command !== undefined) {
    const named = isLink(command.recipe) ? await recipeFromLink(command.recipe) : catalogueRecipe(command.recipe);
    if (named === undefined) throw inputError(text.noRecipe, text.noRecipeAdvice, text.command);
    return withKnobs(named, command.knobs);
  }
  if (isLink(pasted)) return recipeFromLink(pasted.trim());
  return pasted.trimStart().startsWith('{') ? loadRecipe(pasted) : undefined;
};

/** Opens what was pasted into the page where it holds a recipe, and says so where it holds none. */
export const pasteText = async (pasted: string): Promise<void> => {
  unsay('paste');
  try {
    const recipe = await recipeIn(pasted);
    if (recipe === undefined)
      return say({ topic: 'paste', kind: 'note', words: text.notPasted, advice: text.notPastedAdvice });
    const name = recipe.name ?? text.unnamed;
    changeRecipe(recipe, text.pasted(name));
    say({ topic: 'paste', kind: 'note', words: text.pastedNote(name) });
  } catch (error) {
    report('paste', error);
  }
};
