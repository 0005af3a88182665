import { blobSource } from '../../lib/web/bytes/blob-source.ts';
import { droppedFiles, tooFewForSubs } from '../model/dropped.ts';
import { text } from '../text.ts';
import { adaptToMasters } from './adapt.ts';
import { report, say, unsay } from './messages.ts';
import { openMasters } from './opening.ts';
import { changeRecipe } from './recipe.ts';
import { isColour, layStars } from './stars.ts';

/** Opens what was dropped; folders too. Pictures whose headers show that they are subs are counted instead. */
export const openDropped = async (dropped: DataTransfer): Promise<void> => {
  const files = await droppedFiles(dropped);
  if (!tooFewForSubs(files) && (await (await import('./counting.ts')).countIfSubs(files))) return;
  await openFiles(files.map(({ file }) => file));
};

/**
 * Opens what was dropped or chosen: recipes, and pictures that carry one, become the mix; pictures in colour are stars;
 * the rest are masters.
 */
export const openFiles = async (files: readonly File[]): Promise<void> => {
  const carries = await Promise.all(files.map(carriesRecipe));
  const plain = files.filter((_, i) => !carries[i]);
  const colour = await Promise.all(plain.map(isColour));
  const masters = plain.filter((_, i) => !colour[i]);
  if (masters.length > 0) await openMasters(masters.map((file) => ({ name: file.name, from: file })));
  for (const file of files.filter((_, i) => carries[i])) await useRecipe(file);
  for (const file of plain.filter((_, i) => colour[i])) await layStars([file]);
  if (masters.length > 0) adaptToMasters();
};

/** The readers of recipes are loaded when the first file is opened. */
const recipes = () => import('../../lib/recipe/written/open.ts');

const carriesRecipe = async (file: File): Promise<boolean> => {
  if (file.type === 'application/json' || file.name.toLowerCase().endsWith('.json')) return true;
  return (await recipes()).claimsRecipe(blobSource(file.name, file)).catch(() => false);
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
