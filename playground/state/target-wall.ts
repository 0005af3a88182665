import { atom } from 'nanostores';
import { download } from '../../lib/web/bytes/download.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { missingLines } from '../model/columns.ts';
import { fileStem } from '../model/file-name.ts';
import { withBoxes } from '../model/target-boxes.ts';
import { text } from '../text-targets.ts';
import { askOnChange } from './ask-on-change.ts';
import { $candidates, $pinned } from './candidates.ts';
import { engine } from './engine.ts';
import { $targets, type PageTarget } from './history.ts';
import { linesOf } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { withMasters } from './passing-masters.ts';
import { $recipe } from './recipe.ts';
import { targetsNow } from './targets.ts';

/** Longest side of a target's picture. */
const LONGEST = 480;
/** Longer side of each picture of a sheet. */
const SIZE = 480;

/** Whether the wall of targets is shown. */
export const $targetsShown = atom(false);

/** A target by the mix on screen: its picture, or the lines that it lacks. */
export interface TargetPicture {
  readonly name: string;
  readonly picture?: Preview;
  readonly missing: readonly string[];
  /** What is wrong with its masters. */
  readonly fault?: string;
}

/** Every target by the mix on screen, as far as they are mixed. */
export const $targetPictures = atom<readonly TargetPicture[] | undefined>(undefined);

const pictureOf = async ({ name, masters, boxes }: PageTarget, signal: AbortSignal): Promise<TargetPicture> => {
  const lines = linesOf(masters);
  const recipe = withBoxes($recipe.get(), boxes);
  const missing = missingLines(recipe, Object.keys(lines));
  if (missing.length > 0) return { name, missing };
  try {
    const ask = () => engine().call('preview', { lines, recipe, longest: LONGEST }, { signal });
    return { name, missing, picture: await withMasters(masters, signal, ask) };
  } catch (error) {
    return { name, missing, fault: error instanceof Error ? error.message : String(error) };
  }
};

askOnChange<readonly TargetPicture[]>($targetPictures, {
  topic: 'target wall',
  restartOn: [$recipe, $targets],
  async ask(signal) {
    const done: TargetPicture[] = [];
    for (const target of targetsNow()?.all ?? []) {
      const picture = await pictureOf(target, signal);
      if (signal.aborted) break;
      done.push(picture);
      // Those that follow keep the picture of before until theirs comes.
      const before = $targetPictures.get() ?? [];
      $targetPictures.set([...done, ...before.filter(({ name }) => !done.some((one) => one.name === name))]);
    }
    return done;
  },
});

/** The sheet that is being drawn: how far it is, and how to stop it. */
export const $drawingTargets = atom<{ readonly done: number; cancel(): void } | undefined>(undefined);

/** The mixes of the sheet: that on screen, then those that are pinned. */
export const sheetRecipes = () => {
  const pinned = $pinned.get();
  const now = $recipe.get();
  const others = $candidates.get().filter(({ id, recipe }) => pinned.includes(id) && recipe.name !== now.name);
  return [now, ...others.map(({ recipe }) => recipe)].map((recipe) => ({
    caption: recipe.name ?? text.ownMix,
    recipe,
  }));
};

/** Saves a sheet with a row for each target and a column for each of these mixes. */
export const saveTargetSheet = async (): Promise<void> => {
  const control = new AbortController();
  const { signal } = control;
  const progress = (done: number) => $drawingTargets.set({ done, cancel: () => control.abort() });
  const file = `${fileStem(text.sheetName)}.png`;
  unsay('sheet');
  progress(0);
  try {
    const all = targetsNow()?.all ?? [];
    const masters = all.flatMap((target) => target.masters);
    const targets = all.map((target) => ({ name: target.name, lines: linesOf(target.masters) }));
    // A box on one target means nothing on another.
    const recipes = sheetRecipes().map(({ caption, recipe }) => ({ caption, recipe: withBoxes(recipe, {}) }));
    const ask = () => engine().call('targetSheet', { targets, recipes, file, size: SIZE }, { signal, progress });
    download(await withMasters(masters, signal, ask), file);
    say({ topic: 'sheet', kind: 'note', words: text.sheetSaved(file) });
  } catch (error) {
    if (!signal.aborted) report('sheet', error);
  } finally {
    $drawingTargets.set(undefined);
  }
};
