import { computed } from 'nanostores';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { sameMix } from '../model/columns.ts';
import { startHistory } from '../model/history.ts';
import { NO_PLAN } from '../model/plan.ts';
import { $history, changePart } from './history.ts';

export const $recipe = computed($history, ({ present }) => present.value.recipe);

/** The catalogue entry that the recipe is, if it is one unchanged. */
export const $entry = computed($recipe, (recipe) => CATALOGUE.find((entry) => sameMix(entry.recipe, recipe)));

/** Changes the recipe as a named step that can be undone; steps with one key in quick succession are one. */
export const changeRecipe = (recipe: WrittenRecipe, label: string, key?: string): void =>
  changePart({ recipe }, label, key);

/** Replaces the recipe without a step, as at the start. */
export const beginWith = (recipe: WrittenRecipe): void => $history.set(startHistory({ recipe, plan: NO_PLAN }));
