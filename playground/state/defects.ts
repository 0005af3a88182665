import { atom } from 'nanostores';
import type { Defect, Point } from '../../lib/check/defects.ts';
import { latest } from '../model/latest.ts';
import { $alone } from './alone.ts';
import { $defectsShown } from './defects-shown.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $camera, $frame } from './view.ts';

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
  const id = $lines.get()[defect.channel];
  const frame = $frame.get();
  if (id === undefined || frame === undefined) return;
  $alone.set({ line: defect.channel, id });
  const [x, y] = middleOf(defect);
  const { view, open } = frame;
  const scale = Math.max(1, frame.camera.scale);
  // Pixels of the picture reach from whole number to whole number.
  $camera.set({
    scale,
    x: x + 0.5 - (open.x + open.width / 2 - view.width / 2) / scale,
    y: y + 0.5 - (open.y + open.height / 2 - view.height / 2) / scale,
  });
};

$lines.listen((lines, before) => {
  if (JSON.stringify(lines) === JSON.stringify(before)) return;
  looking.stop();
  $lookingForDefects.set(undefined);
  $defects.set(undefined);
  $defectsShown.set(false);
});
