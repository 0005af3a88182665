import { text } from '../text.ts';
import { openMasters } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { changeRecipe } from './recipe.ts';

/** Opens what was dropped or chosen: recipes become the mix, everything else must be a master. */
export const openFiles = async (files: readonly File[]): Promise<void> => {
  const recipes = files.filter(({ name, type }) => type === 'application/json' || name.toLowerCase().endsWith('.json'));
  const masters = files.filter((file) => !recipes.includes(file));
  if (masters.length > 0) await openMasters(masters.map((file) => ({ name: file.name, from: file })));
  for (const file of recipes) await openRecipe(file);
};

const openRecipe = async (file: File): Promise<void> => {
  unsay('recipe');
  try {
    // The reader of recipes is loaded when the first one is opened.
    const { parseRecipe } = await import('../../lib/recipe/parse.ts');
    const recipe = parseRecipe(await file.text(), file.name);
    const name = text.recipe.opened(recipe.name ?? file.name);
    changeRecipe(recipe, name);
    say({ topic: 'recipe', kind: 'note', words: name });
  } catch (error) {
    report('recipe', error);
  }
};
