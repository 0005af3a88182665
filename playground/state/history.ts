import { atom, computed } from 'nanostores';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { change, type History, redo, startHistory, undo } from '../model/history.ts';
import { NO_PLAN, type Plan } from '../model/plan.ts';
import type { TargetBoxes } from '../model/target-boxes.ts';
import type { PageMaster } from './masters.ts';

/** The masters that are open, and whether they are the samples. */
export interface OpenSet {
  readonly masters: readonly PageMaster[];
  readonly onSamples: boolean;
}

/** A target whose masters are open or can be switched to. */
export interface PageTarget {
  readonly name: string;
  readonly masters: readonly PageMaster[];
  readonly boxes: TargetBoxes;
}

/** The targets that the page knows, and which of them is on screen: what is told of that one is as it was left last. */
export interface TargetSet {
  readonly current: string;
  readonly all: readonly PageTarget[];
}

/** All that can be taken back. */
export interface Undoable {
  readonly recipe: WrittenRecipe;
  readonly plan: Plan;
  /** Whether the saved picture is cut to what all its lines cover. */
  readonly crop?: boolean | undefined;
  /** The open masters and their lines; absent until the user first changes any. */
  readonly open?: OpenSet | undefined;
  /** Absent while there is one target only. */
  readonly targets?: TargetSet | undefined;
}

/** What the user does, with its past. */
export const $history = atom<History<Undoable>>(startHistory({ recipe: CATALOGUE[0]!.recipe, plan: NO_PLAN }));

/** The targets to switch between; undefined while there is one only. */
export const $targets = computed($history, ({ present }) => present.value.targets);

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
