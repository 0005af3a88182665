import { atom, onMount } from 'nanostores';
import { latest } from '../model/latest.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report } from './messages.ts';
import { $picture } from './picture.ts';

/** What does not fit among the masters, each a sentence that says what to do; undefined while it is not known. */
export const $misfits = atom<readonly string[] | undefined>(undefined);

const looking = latest();

const look = async (): Promise<void> => {
  const control = looking.begin();
  const lines = $lines.get();
  try {
    const { warnings } = await engine().call('fit', { lines }, { signal: control.signal });
    if (looking.isLatest(control)) $misfits.set(warnings);
  } catch (error) {
    if (!control.signal.aborted) report('fit', error);
  }
};

/** The first picture of these masters comes first. */
let waiting = false;
const lookAfterPicture = (): void => {
  if (!waiting || $picture.get() === undefined || Object.keys($lines.get()).length < 2) return;
  waiting = false;
  void look();
};

onMount($misfits, () => {
  waiting = true;
  const stops = [
    $lines.listen((lines, before) => {
      if (JSON.stringify(lines) === JSON.stringify(before)) return;
      looking.stop();
      $misfits.set(undefined);
      waiting = true;
    }),
    $picture.listen(lookAfterPicture),
  ];
  lookAfterPicture();
  return () => {
    for (const stop of stops) stop();
    looking.stop();
  };
});
