import { atom, onMount } from 'nanostores';
import type { HoursPictures } from '../../lib/web/hours-pictures.ts';
import { faintPart, partAbout } from '../model/faint-part.ts';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { engine } from './engine.ts';
import { $answer, $feature, $time } from './hours.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $picture } from './picture.ts';
import { $recipe } from './recipe.ts';
import { $camera } from './view.ts';

/** Size of the part that is shown. */
export const PART = { width: 140, height: 88 };

/** What the planned hours are worth in the middle of the view, or in a faint part where all of the picture is in view. */
export const $outlook = atom<HoursPictures | undefined>(undefined);

const showOnce = async (signal: AbortSignal): Promise<void> => {
  const picture = $picture.get();
  const shares = $answer.get()?.plan?.advice.allocation?.shares;
  if (picture === undefined || shares === undefined) return void $outlook.set(undefined);
  const camera = $camera.get();
  const { full } = picture;
  const part = camera ? partAbout(camera.x, camera.y, PART, full) : faintPart(picture, PART, full);
  const added = Object.fromEntries(shares.map(({ name, added }) => [name, added]));
  const mix = { lines: $lines.get(), recipe: $recipe.get(), time: $time.get(), box: $feature.get() };
  try {
    const pictures = await engine().call('outlook', { ...mix, added, part }, { signal });
    if (signal.aborted) return;
    unsay('outlook');
    $outlook.set(pictures);
  } catch (error) {
    if (!signal.aborted) report('outlook', error);
  }
};

const showing = oneAtATime(showOnce);

onMount($outlook, () => {
  const stops = [$answer, $camera].map((store) => store.listen(() => showing.ask()));
  showing.ask();
  return () => {
    for (const stop of stops) stop();
    showing.stop();
  };
});
