import { atom, onMount } from 'nanostores';
import type { Box } from '../../lib/plane/box.ts';
import type { MarkedPicture, MarkName } from '../../lib/work/marks.ts';
import { missingLines } from '../model/columns.ts';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { $detail } from './detail.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $picture, FINE } from './picture.ts';
import { $recipe } from './recipe.ts';

export const MARK_NAMES = ['outside', 'full', 'black', 'undefined'] as const satisfies readonly MarkName[];

/** Which marks are shown. */
export const $kinds = atom<readonly MarkName[]>(MARK_NAMES);

/** Marks of the whole picture, or of the part in view where that is shown from the full-size masters. */
export const $marked = atom<{ readonly marked: MarkedPicture; readonly box?: Box | undefined } | undefined>(undefined);

const lookOnce = async (signal: AbortSignal): Promise<void> => {
  const [lines, recipe, box] = [$lines.get(), $recipe.get(), $detail.get()?.box];
  if ($picture.get() === undefined || missingLines(recipe, Object.keys(lines)).length > 0)
    return void $marked.set(undefined);
  const part = box ? { box } : { longest: FINE };
  try {
    const marked = await engine().call('marks', { lines, recipe, ...part }, { signal });
    if (signal.aborted) return;
    unsay('marks');
    $marked.set({ marked, box });
  } catch (error) {
    if (!signal.aborted) report('marks', error);
  }
};

const looking = oneAtATime(lookOnce);

onMount($marked, () => {
  // The picture changes when it is mixed anew: marks follow it.
  const stops = [$picture, $detail].map((store) => store.listen(() => looking.ask()));
  looking.ask();
  return () => {
    for (const stop of stops) stop();
    looking.stop();
    $marked.set(undefined);
  };
});
