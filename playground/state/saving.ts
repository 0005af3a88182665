import { atom } from 'nanostores';
import type { OutputSample } from '../../lib/plane/picture.ts';
import { download } from '../../lib/web/bytes/download.ts';
import type { WritableHandle } from '../../lib/web/bytes/handle-sink.ts';
import { fileStem } from '../model/file-name.ts';
import { bytesOf, pictureBytes } from '../model/picture-bytes.ts';
import { text } from '../text.ts';
import { $crop } from './crop.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { $recipe } from './recipe.ts';
import { isLaidOver } from './stars.ts';

/** What can be saved. */
export interface SaveKind {
  readonly id: string;
  readonly ending: string;
  readonly sample?: OutputSample;
}

export const SAVE_KINDS: readonly SaveKind[] = [
  { id: 'tiff-16', ending: 'tif', sample: 'u16' },
  { id: 'tiff-float', ending: 'tif', sample: 'f32' },
  { id: 'fits-float', ending: 'fits', sample: 'f32' },
  { id: 'png-16', ending: 'png', sample: 'u16' },
  { id: 'png-8', ending: 'png', sample: 'u8' },
  { id: 'jpeg', ending: 'jpg', sample: 'u8' },
  { id: 'recipe', ending: 'json' },
];

/** Whether saved pictures get a strip that says what their colours mean; data gets none. */
export const $legend = atom(false);

/** Whether a kind of file can have that strip. */
export const takesLegend = ({ ending, sample }: SaveKind): boolean => sample !== undefined && ending !== 'fits';

/** The save that is under way. */
export const $saving = atom<{ readonly file: string; readonly done: number; cancel(): void } | undefined>(undefined);

type Picker = (options: { suggestedName: string }) => Promise<WritableHandle>;

/** Pictures above this size go straight to disk where the browser can; smaller ones are downloads like any other. */
const LARGE_PIXELS = 8_000_000;

/** A browser that cannot write to disk holds the whole file first; above so many bytes many of them give up. */
const LARGEST_HELD = 1.5e9;

/** Saves the picture or the recipe; `boldly` even where the browser may run out of memory. */
export const save = async (kind: SaveKind, pixels: number, boldly = false): Promise<void> => {
  const file = `${fileStem($recipe.get().name ?? text.save.unnamed)}.${kind.ending}`;
  unsay('save');
  if (kind.sample === undefined) {
    return saveRecipe(file);
  }
  const control = new AbortController();
  const show = (done: number) => $saving.set({ file, done, cancel: () => control.abort() });
  try {
    const handle = await placeFor(file, pixels);
    if (handle === null) return;
    if (handle === undefined && !boldly && bytesOf(pixels, kind) > LARGEST_HELD) return warn(kind, pixels);
    show(0);
    const legend = $legend.get() && takesLegend(kind);
    const more = { crop: $crop.get(), legend, stars: isLaidOver($recipe.get()) };
    const wish = { lines: $lines.get(), recipe: $recipe.get(), file, sample: kind.sample, handle, ...more };
    const blob = await engine().call('export', wish, { signal: control.signal, progress: show });
    if (blob !== undefined) download(blob, file);
    say({ topic: 'save', kind: 'note', words: text.save.saved(handle?.name ?? file) });
  } catch (error) {
    if (control.signal.aborted) say({ topic: 'save', kind: 'note', words: text.save.cancelled });
    else report('save', error);
  } finally {
    $saving.set(undefined);
  }
};

/** What writes recipes is loaded with the first of them. */
const saveRecipe = async (file: string): Promise<void> => {
  try {
    const { recipeText } = await import('../../lib/recipe/written/serialize.ts');
    download(new Blob([recipeText($recipe.get())], { type: 'application/json' }), file);
  } catch (error) {
    report('save', error);
  }
};

/** Says before anything is computed that the file may not fit. */
const warn = (kind: SaveKind, pixels: number): void => {
  const act = () => void save(kind, pixels, true);
  const { tooLarge, tooLargeAdvice, anyway } = text.save;
  const words = tooLarge(pictureBytes(pixels, kind));
  say({ topic: 'save', kind: 'fault', words, advice: tooLargeAdvice, action: { words: anyway, act } });
};

/**
 * A place on disk for large pictures; undefined for a download, also where the browser lets nobody choose a place, as in
 * a frame or long after the click; null where the user changed their mind.
 */
const placeFor = async (file: string, pixels: number): Promise<WritableHandle | undefined | null> => {
  const pick = (globalThis as { showSaveFilePicker?: Picker }).showSaveFilePicker;
  if (pick === undefined || pixels < LARGE_PIXELS) return undefined;
  try {
    return await pick({ suggestedName: file });
  } catch (error) {
    return error instanceof DOMException && error.name === 'AbortError' ? null : undefined;
  }
};
