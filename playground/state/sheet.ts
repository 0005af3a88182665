import { atom } from 'nanostores';
import { download } from '../../lib/web/bytes/download.ts';
import { missingLines } from '../model/columns.ts';
import { fileStem } from '../model/file-name.ts';
import { inOrder } from '../model/wall-order.ts';
import { text } from '../text.ts';
import { wallText } from '../text-wall.ts';
import { $candidates, $pinned } from './candidates.ts';
import { $crop } from './crop.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { $printed } from './printing.ts';
import { isLaidOver } from './stars.ts';
import { $figures, $order } from './wall.ts';

/** Longer side of each picture of a sheet: enough for a page of paper. */
const SIZE = 800;

/** Whether a sheet shows the pinned mixes alone. */
export const $pinnedOnly = atom(false);

/** The sheet that is being drawn: how far it is, and how to stop it. */
export const $drawingSheet = atom<{ readonly done: number; cancel(): void } | undefined>(undefined);

/** What a sheet shows, in the order of the wall: all that these masters can be mixed to. */
const shown = () => {
  const lines = Object.keys($lines.get());
  const pinned = $pinned.get();
  const all = inOrder($candidates.get(), pinned, $order.get(), $figures.get());
  const wanted = $pinnedOnly.get() ? all.filter(({ id }) => pinned.includes(id)) : all;
  return wanted
    .filter(({ recipe }) => missingLines(recipe, lines).length === 0)
    .map(({ recipe }) => ({ caption: recipe.name ?? text.recipe.own, recipe }));
};

const draw = async (file: string): Promise<Blob | undefined> => {
  const control = new AbortController();
  const show = (done: number) => $drawingSheet.set({ done, cancel: () => control.abort() });
  unsay('sheet');
  show(0);
  try {
    const recipes = shown();
    const stars = recipes.every(({ recipe }) => isLaidOver(recipe));
    const more = { crop: $crop.get(), stars };
    const wish = { lines: $lines.get(), recipes, file, size: SIZE, ...more };
    return await engine().call('sheet', wish, { signal: control.signal, progress: show });
  } catch (error) {
    if (!control.signal.aborted) report('sheet', error);
    return undefined;
  } finally {
    $drawingSheet.set(undefined);
  }
};

/** Saves the wall as one picture with captions. */
export const saveSheet = async (): Promise<void> => {
  const file = `${fileStem(wallText.sheetName)}.png`;
  const sheet = await draw(file);
  if (sheet === undefined) return;
  download(sheet, file);
  say({ topic: 'sheet', kind: 'note', words: text.save.saved(file) });
};

/** Prints the wall as one picture with captions. */
export const printSheet = async (): Promise<void> => {
  const sheet = await draw('wall.png');
  if (sheet === undefined) return;
  $printed.set(URL.createObjectURL(sheet));
};
