import { atom, onMount } from 'nanostores';
import type { Together } from '../../lib/measure/together.ts';
import { latest } from '../model/latest.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report } from './messages.ts';
import { $picture } from './picture.ts';

/** How the masters lie on each other and what does not fit among them; undefined while it is not known. */
export const $together = atom<Together | undefined>(undefined);

/** Lines that hold almost nothing but noise. */
export const $weak = atom<readonly string[]>([]);

const looking = latest();

const look = async (): Promise<void> => {
  const control = looking.begin();
  const lines = $lines.get();
  try {
    const together = await engine().call('fit', { lines }, { signal: control.signal });
    if (!looking.isLatest(control)) return;
    $together.set(together);
    const weak = await engine().call('weak', { lines }, { signal: control.signal });
    if (looking.isLatest(control)) $weak.set(weak);
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

onMount($together, () => {
  waiting = true;
  const stops = [
    $lines.listen((lines, before) => {
      if (JSON.stringify(lines) === JSON.stringify(before)) return;
      looking.stop();
      $together.set(undefined);
      $weak.set([]);
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
