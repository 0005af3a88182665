import { atom, onMount } from 'nanostores';
import { sharesAfter } from '../../lib/hours/noise-shares.ts';
import type { HoursPictures } from '../../lib/web/hours-pictures.ts';
import { faintPart, partAbout } from '../model/faint-part.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $answer, $place, $time } from './hours.ts';
import { $later } from './later.ts';
import { $lines } from './masters.ts';
import { $picture } from './picture.ts';
import { $recipe } from './recipe.ts';
import { $camera } from './view.ts';

/** Size of the part that is shown. */
export const PART = { width: 140, height: 88 };

/** What the planned hours are worth in the middle of the view, or in a faint part where all of the picture is in view. */
export const $outlook = atom<HoursPictures | undefined>(undefined);

askOnChange($outlook, {
  topic: 'outlook',
  on: [$answer, $camera],
  async ask(signal) {
    const picture = $picture.get();
    const shares = $answer.get()?.plan?.advice.allocation?.shares;
    if (picture === undefined || shares === undefined) return undefined;
    const camera = $camera.get();
    const { full } = picture;
    const part = camera ? partAbout(camera.x, camera.y, PART, full) : faintPart(picture, PART, full);
    const added = Object.fromEntries(shares.map(({ name, added }) => [name, added]));
    const mix = { lines: $lines.get(), recipe: $recipe.get(), time: $time.get(), ...$place.get() };
    return engine().call('outlook', { ...mix, added, part }, { signal });
  },
});

/** The planned hours, for the picture after them; what was planned for other masters is forgotten. */
const tellLater = (): void => {
  const { plan, exposures = [] } = $answer.get() ?? {};
  const shares = plan?.advice.allocation?.shares;
  if (shares === undefined) return;
  const coming = shares.map(({ name, added }) => {
    const spent = exposures.find((one) => one.name === name)?.hours ?? 0;
    return { name, spent, added };
  });
  $later.set({ hours: plan?.advice.allocation?.clock ?? 0, shares: sharesAfter(coming) });
};

onMount($outlook, () => $answer.subscribe(tellLater));
