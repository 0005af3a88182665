import { atom } from 'nanostores';
import type { RejectedPixels } from '../../lib/web/rejected.ts';
import { latest } from '../model/latest.ts';
import { $alone } from './alone.ts';
import { engine } from './engine.ts';
import { lookAt } from './look-at.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $rejectedShown } from './rejected-shown.ts';
import { $frame } from './view.ts';

/** What combining left out of the masters of a line that was asked for, and the masters that this is true of. */
interface Rejected {
  readonly line: string;
  readonly id: string;
  readonly masters: readonly RejectedPixels[];
}

/** The rejected pixels of the line that was asked for last: masks are large. */
export const $rejected = atom<Rejected | undefined>(undefined);

/** The line whose rejected pixels are being found. */
export const $findingRejected = atom<string | undefined>(undefined);

const finding = latest();

const stop = (): void => {
  finding.stop();
  $findingRejected.set(undefined);
};

/** Marks the rejected pixels of a line over the picture, or no longer. */
export const showRejected = async (line: string, shown: boolean): Promise<void> => {
  stop();
  unsay('rejected');
  $rejectedShown.set(shown ? line : undefined);
  const id = $lines.get()[line];
  if (!shown || id === undefined || ($rejected.get()?.line === line && $rejected.get()?.id === id)) return;
  const control = finding.begin();
  $findingRejected.set(line);
  try {
    const masters = await engine().call('rejected', { lines: { [line]: id } }, { signal: control.signal });
    if (!control.signal.aborted) $rejected.set({ line, id, masters });
  } catch (error) {
    if (control.signal.aborted) return;
    $rejectedShown.set(undefined);
    report('rejected', error);
  } finally {
    if (finding.isLatest(control)) $findingRejected.set(undefined);
  }
};

/** The part of the view that the largest group may fill. */
const FILLED = 0.6;

/** Shows a master of a line alone, its largest group of rejected pixels in the middle of the stage. */
export const showLargest = (line: string, index: number): void => {
  const found = $rejected.get();
  const { largest, file } = found?.masters[index] ?? {};
  const id = found?.id.split('+')[index];
  if (largest === undefined || id === undefined) return;
  const { x, y, width, height } = largest;
  const open = $frame.get()?.open;
  const room = open ? FILLED * Math.min(open.width / width, open.height / height) : 1;
  lookAt(line, { x: x + width / 2, y: y + height / 2 }, () => Math.min(4, room));
  $alone.set({ line, id, file });
};

$lines.listen((lines) => {
  const shown = $rejectedShown.get() ?? $rejected.get()?.line;
  if (shown === undefined || lines[shown] === $rejected.get()?.id) return;
  stop();
  $rejectedShown.set(undefined);
  $rejected.set(undefined);
});
