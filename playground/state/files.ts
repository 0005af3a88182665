import { blobSource } from '../../lib/web/blob-source.ts';
import { text } from '../text.ts';
import { adaptToMasters } from './adapt.ts';
import { openMasters } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { changeRecipe } from './recipe.ts';

/** Opens what was dropped or chosen: recipes, and pictures that carry one, become the mix; the rest are masters. */
export const openFiles = async (files: readonly File[]): Promise<void> => {
  const carries = await Promise.all(files.map(carriesRecipe));
  const masters = files.filter((_, i) => !carries[i]);
  if (masters.length > 0) await openMasters(masters.map((file) => ({ name: file.name, from: file })));
  for (const file of files.filter((_, i) => carries[i])) await useRecipe(file);
  if (masters.length > 0) adaptToMasters();
};

/** The readers of recipes are loaded when the first file is opened. */
const recipes = () => import('../../lib/recipe/open.ts');

const carriesRecipe = async (file: File): Promise<boolean> => {
  if (file.type === 'application/json' || file.name.toLowerCase().endsWith('.json')) return true;
  // Whatever is wrong with a picture is said when it is opened as a master.
  const note = await (await recipes()).pictureNote(blobSource(file.name, file)).catch(() => undefined);
  return note !== undefined;
};

const useRecipe = async (file: File): Promise<void> => {
  unsay('recipe');
  try {
    const recipe = await (await recipes()).openRecipe(blobSource(file.name, file));
    const words = text.recipe.opened(recipe.name ?? file.name);
    changeRecipe(recipe, words);
    say({ topic: 'recipe', kind: 'note', words });
  } catch (error) {
    report('recipe', error);
  }
};
