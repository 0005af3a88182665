import { atom } from 'nanostores';
import type { FaintView } from '../../lib/web/faint.ts';
import { USUAL } from '../../lib/work/faint-report.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text-faint.ts';
import { engine } from './engine.ts';
import { $faintShown } from './faint-shown.ts';
import { $time, changePlan } from './hours.ts';
import { lookAt } from './look-at.ts';
import { $lines } from './masters.ts';
import { report, unsay } from './messages.ts';
import { $drawer, $frame } from './view.ts';

type FaintFeature = FaintView['features'][number];

/** What was found in lines that were looked at. */
export const $faint = atom<Readonly<Record<string, FaintView>>>({});

/** The line that is looked at, how far that is, and how to stop it. */
export const $lookingForFaint = atom<{ readonly line: string; readonly done: number; cancel(): void } | undefined>(
  undefined,
);

/** How many outlines noise may make, and the largest scale in pixels. */
export const $faintWish = atom<{ readonly falseBlobs: number; readonly largest: number }>({
  falseBlobs: USUAL.falseBlobs,
  largest: USUAL.largest,
});

/** Whether the map lies over the picture, below its outlines. */
export const $faintMap = atom(false);

/** The outline of the shown line that was chosen, counted from 0. */
export const $faintChosen = atom<number | undefined>(undefined);

const looking = latest();

/** All that an answer depends on. */
const keyOf = (line: string): string => JSON.stringify([$lines.get()[line], $time.get()[line]]);
const keys = new Map<string, string>();

/** Looks for what stands out of the noise of a line, and outlines it over the picture. */
export const lookForFaint = async (line: string): Promise<void> => {
  const control = looking.begin();
  const { signal } = control;
  unsay('faint');
  const tell = (done: number) => {
    if (!signal.aborted) $lookingForFaint.set({ line, done, cancel: () => control.abort() });
  };
  tell(0);
  const key = keyOf(line);
  const question = { line, id: $lines.get()[line]!, hours: $time.get()[line], ...$faintWish.get() };
  try {
    const found = await engine().call('faint', question, { signal, progress: tell });
    if (signal.aborted) return;
    keys.set(line, key);
    $faint.set({ ...$faint.get(), [line]: found });
    $faintChosen.set(undefined);
    $faintShown.set(line);
  } catch (error) {
    if (!signal.aborted) report('faint', error);
  } finally {
    if (looking.isLatest(control)) $lookingForFaint.set(undefined);
  }
};

/** Shows or hides the outlines of a line. */
export const showFaint = (line: string, shown: boolean): void => {
  $faintChosen.set(undefined);
  $faintShown.set(shown ? line : undefined);
};

/** The part of the view that a shown outline may fill. */
const FILLED = 0.4;

/** Shows the line alone at one of its outlines, which is chosen. */
export const showFaintFeature = (line: string, index: number): void => {
  const feature = $faint.get()[line]?.features[index];
  if (feature === undefined) return;
  $faintShown.set(line);
  $faintChosen.set(index);
  const { x, y, width, height } = feature.box;
  const open = $frame.get()?.open;
  const room = open ? FILLED * Math.min(open.width / width, open.height / height) : 1;
  lookAt(line, { x: x + width / 2, y: y + height / 2 }, ({ camera }) => Math.min(Math.max(1, camera.scale), room));
};

/** Makes an outline what hours are planned for. */
export const planForFaint = ({ box, outline }: Pick<FaintFeature, 'box' | 'outline'>): void => {
  changePlan({ goal: 'snr', feature: box, outline }, text.step);
  $drawer.set('hours');
};

/** What was found in other masters, or counted with other hours, is no longer so. */
const forget = (): void => {
  const lines = $lines.get();
  const now = $lookingForFaint.get();
  if (now !== undefined && !(now.line in lines)) looking.stop();
  const kept = Object.entries($faint.get()).filter(([line]) => line in lines && keys.get(line) === keyOf(line));
  if (kept.length === Object.keys($faint.get()).length) return;
  $faint.set(Object.fromEntries(kept));
  const shown = $faintShown.get();
  if (shown !== undefined && !(shown in $faint.get())) showFaint(shown, false);
};
$lines.listen(forget);
$time.listen(forget);
