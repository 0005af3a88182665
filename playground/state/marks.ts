import { atom } from 'nanostores';
import type { Box } from '../../lib/plane/box.ts';
import type { MarkedPicture, MarkName } from '../../lib/work/marks.ts';
import { missingLines } from '../model/columns.ts';
import { askOnChange } from './ask-on-change.ts';
import { $detail } from './detail.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { $picture, FINE } from './picture.ts';
import { $recipe } from './recipe.ts';

export const MARK_NAMES = ['outside', 'full', 'black', 'undefined'] as const satisfies readonly MarkName[];

/** Which marks are shown. */
export const $kinds = atom<readonly MarkName[]>(MARK_NAMES);

/** Marks of the whole picture, or of the part in view where that is shown from the full-size masters. */
export const $marked = atom<{ readonly marked: MarkedPicture; readonly box?: Box | undefined } | undefined>(undefined);

askOnChange($marked, {
  topic: 'marks',
  // The picture changes when it is mixed again: marks follow it.
  on: [$picture, $detail],
  forgets: true,
  async ask(signal) {
    const [lines, recipe, box] = [$lines.get(), $recipe.get(), $detail.get()?.box];
    if ($picture.get() === undefined || missingLines(recipe, Object.keys(lines)).length > 0) return undefined;
    const part = box ? { box } : { longest: FINE };
    return { marked: await engine().call('marks', { lines, recipe, ...part }, { signal }), box };
  },
});
