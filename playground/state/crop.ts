import { atom, computed, onMount } from 'nanostores';
import type { Cover } from '../../lib/work/cover.ts';
import { missingLines } from '../model/columns.ts';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { text } from '../text.ts';
import { engine } from './engine.ts';
import { $history, changePart } from './history.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $recipe } from './recipe.ts';

/** Whether the saved picture is cut to what all its lines cover. */
export const $crop = computed($history, ({ present }) => present.value.crop === true);

export const setCrop = (crop: boolean): void => changePart({ crop }, text.save.cropStep);

/** What a crop would leave; undefined until it is known, and where it is not asked for. */
export const $cover = atom<Cover | undefined>(undefined);

const lookOnce = async (signal: AbortSignal): Promise<void> => {
  const [lines, recipe] = [$lines.get(), $recipe.get()];
  const known = Object.keys(lines);
  if (!$crop.get() || known.length === 0 || missingLines(recipe, known).length > 0) return void $cover.set(undefined);
  try {
    const cover = await engine().call('cover', { lines, recipe }, { signal });
    if (signal.aborted) return;
    unsay('crop');
    $cover.set(cover);
  } catch (error) {
    if (!signal.aborted) report('crop', error);
  }
};

const looking = oneAtATime(lookOnce);

onMount($cover, () => {
  const stops = [$crop, $lines, $recipe].map((store) => store.listen(() => looking.ask()));
  looking.ask();
  return () => {
    for (const stop of stops) stop();
    looking.stop();
  };
});
