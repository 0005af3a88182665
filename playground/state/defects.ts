import { atom } from 'nanostores';
import type { Defect, Point } from '../../lib/check/defects.ts';
import { latest } from '../model/latest.ts';
import { $defectsShown } from './defects-shown.ts';
import { engine } from './engine.ts';
import { lookAt } from './look-at.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';

/** What is in one master and not in the sky, the plainest first; undefined until somebody has looked. */
export const $defects = atom<readonly Defect[] | undefined>(undefined);

/** While the masters are looked at: how to stop it. */
export const $lookingForDefects = atom<{ cancel(): void } | undefined>(undefined);

const looking = latest();

/** Looks at all masters. What is found is marked over the picture. */
export const lookForDefects = async (): Promise<void> => {
  const control = looking.begin();
  unsay('defects');
  $lookingForDefects.set({ cancel: () => control.abort() });
  try {
    const found = await engine().call('defects', { lines: $lines.get() }, { signal: control.signal });
    if (!looking.isLatest(control) || control.signal.aborted) return;
    $defects.set([...found].sort((a, b) => b.score - a.score));
    $defectsShown.set(found.length > 0);
  } catch (error) {
    if (!control.signal.aborted) report('defects', error);
  } finally {
    if (looking.isLatest(control)) $lookingForDefects.set(undefined);
  }
};

/** Where a defect is looked at: in its middle, or at the first of its spots. */
const middleOf = ({ from, to, places }: Defect): Point => places?.[0] ?? [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];

/** Shows the master alone, pixel for pixel, with the defect in the middle of the stage. */
export const showDefect = (defect: Defect): void => {
  const [x, y] = middleOf(defect);
  // Pixels of the picture reach from whole number to whole number.
  lookAt(defect.channel, { x: x + 0.5, y: y + 0.5 }, ({ camera }) => Math.max(1, camera.scale));
};

$lines.listen((lines, before) => {
  if (JSON.stringify(lines) === JSON.stringify(before)) return;
  looking.stop();
  $lookingForDefects.set(undefined);
  $defects.set(undefined);
  $defectsShown.set(false);
});
