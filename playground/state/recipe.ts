import { atom, computed } from 'nanostores';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { WrittenRecipe } from '../../lib/recipe/schema.ts';
import { sameMix } from '../model/columns.ts';
import { change, type History, redo, startHistory, undo } from '../model/history.ts';

/** The recipe with its past. */
export const $history = atom<History<WrittenRecipe>>(startHistory(CATALOGUE[0]!.recipe));

export const $recipe = computed($history, ({ present }) => present.value);

/** The catalogue entry that the recipe is, if it is one unchanged. */
export const $entry = computed($recipe, (recipe) => CATALOGUE.find((entry) => sameMix(entry.recipe, recipe)));

/** Changes the recipe as a named step that can be undone; steps with one key in quick succession are one. */
export const changeRecipe = (recipe: WrittenRecipe, label: string, key?: string): void =>
  $history.set(change($history.get(), { value: recipe, label, key, time: Date.now() }));

/** Replaces the recipe without a step, as at the start. */
export const beginWith = (recipe: WrittenRecipe): void => $history.set(startHistory(recipe));

export const undoChange = (): void => $history.set(undo($history.get()));
export const redoChange = (): void => $history.set(redo($history.get()));
