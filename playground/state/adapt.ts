import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { evenRecipe, missingLines } from '../model/columns.ts';
import { text } from '../text.ts';
import { $lines, $onSamples } from './masters.ts';
import { say } from './messages.ts';
import { $recipe, changeRecipe } from './recipe.ts';

/**
 * When masters come that the recipe on screen cannot be mixed from, the first catalogue recipe that fits them takes its
 * place, or an even spread of their lines; a step back brings the other again.
 */
export const adaptToMasters = (): void => {
  const lines = Object.keys($lines.get());
  if ($onSamples.get() || lines.length === 0) return;
  const missing = missingLines($recipe.get(), lines);
  if (missing.length === 0) return;
  const entry = CATALOGUE.find(({ recipe }) => missingLines(recipe, lines).length === 0);
  const recipe = entry?.recipe ?? { ...evenRecipe(lines), name: text.recipe.even };
  changeRecipe(recipe, text.recipe.adapted);
  say({ topic: 'adapt', kind: 'note', words: text.recipe.adaptedTo(missing, recipe.name ?? '') });
};
