import { atom } from 'nanostores';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { change, type History, redo, startHistory, undo } from '../model/history.ts';
import { NO_PLAN, type Plan } from '../model/plan.ts';
import type { PageMaster } from './masters.ts';

/** The masters that are open, and whether they are the samples. */
export interface OpenSet {
  readonly masters: readonly PageMaster[];
  readonly onSamples: boolean;
}

/** All that can be taken back. */
export interface Undoable {
  readonly recipe: WrittenRecipe;
  readonly plan: Plan;
  /** Whether the saved picture is cut to what all its lines cover. */
  readonly crop?: boolean | undefined;
  /** The open masters and their lines; absent until the user first changes any. */
  readonly open?: OpenSet | undefined;
}

/** What the user does, with its past. */
export const $history = atom<History<Undoable>>(startHistory({ recipe: CATALOGUE[0]!.recipe, plan: NO_PLAN }));

/** Changes a part as a named step that can be undone; steps with one key in quick succession are one. */
export const changePart = (part: Partial<Undoable>, label: string, key?: string): void => {
  const history = $history.get();
  const value = { ...history.present.value, ...part };
  $history.set(change(history, { value, label, key, time: Date.now() }));
};

/** Adds to the present what a coming step must be able to return to. */
export const notePart = (part: Partial<Undoable>): void => {
  const { past, present, future } = $history.get();
  $history.set({ past, present: { ...present, value: { ...present.value, ...part } }, future });
};

export const undoChange = (): void => $history.set(undo($history.get()));
export const redoChange = (): void => $history.set(redo($history.get()));
