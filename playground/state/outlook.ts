import { atom } from 'nanostores';
import type { HoursPictures } from '../../lib/web/hours-pictures.ts';
import { faintPart, partAbout } from '../model/faint-part.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $answer, $place, $time } from './hours.ts';
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
