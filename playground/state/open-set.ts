import type { OpenedMaster } from '../../lib/web/open-master.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text.ts';
import { engineText } from '../text-engine.ts';
import { $engineRun, engine } from './engine.ts';
import type { OpenSet } from './history.ts';
import { $masters, $onSamples, $reports, telling } from './masters.ts';
import { report, say, unsay } from './messages.ts';

/** Ids of the masters that the worker has. */
const inWorker = new Set<string>();

/** What is asked for, while less of it is shown: some of its masters have to be opened first, or cannot be. */
let pending: OpenSet | undefined;

/** Whether the worker has a master. */
export const isInWorker = (id: string): boolean => inWorker.has(id);

/** The masters that the page is asked to show, whether or not the worker has all of them yet. */
export const askedMasters = (): OpenSet => pending ?? { masters: $masters.get(), onSamples: $onSamples.get() };

/** Opens a master in the worker. What a worker that broke down meanwhile had opened is gone with it. */
export const openInWorker = async (
  wish: { readonly id: string; readonly name: string; readonly from: Blob | string },
  signal: AbortSignal,
): Promise<OpenedMaster> => {
  const run = $engineRun.get();
  const opened = await engine().call('open', wish, { signal });
  if ($engineRun.get() === run) inWorker.add(wish.id);
  return opened;
};

export const closeInWorker = (ids: readonly string[]): void => {
  for (const id of ids) {
    inWorker.delete(id);
    engine()
      .call('close', { id })
      .catch(() => {});
  }
};

/** Closes masters that were opened for a while, but for those that are on screen or kept for undo. */
export const closePassing = (ids: readonly string[]): void => {
  const needed = new Set([...askedMasters().masters.map(({ id }) => id), ...resting]);
  closeInWorker(ids.filter((id) => !needed.has(id)));
};

/** Ids of masters that were closed on the page but stay open for undo, the oldest first. */
let resting: readonly string[] = [];
/** At most this many closed masters stay in memory for undo; undo reads older ones again. */
const MOST_RESTING = 6;

const letRest = (open: OpenSet): void => {
  const ids = new Set(open.masters.map(({ id }) => id));
  const gone = [...inWorker].filter((id) => !ids.has(id) && !resting.includes(id) && shown.has(id));
  const all = [...resting.filter((id) => !ids.has(id)), ...gone];
  resting = all.slice(-MOST_RESTING);
  closeInWorker(all.slice(0, -MOST_RESTING));
};

/** Ids that were on the page: others are on their way there. */
const shown = new Set<string>();
// Whatever is shown is open.
$masters.listen((masters) => {
  for (const { id } of masters) {
    shown.add(id);
    inWorker.add(id);
  }
});

const filling = latest();
let filled = Promise.resolve();
/** Resolves when no master is being opened again. */
export const whenFilled = (): Promise<void> => filled;

/** Shows these masters and no others, as soon as the worker has all of them; nothing until then. */
export const showMasters = (open: OpenSet): void => {
  letRest(open);
  filled = fill(open);
};

const fill = async (open: OpenSet): Promise<void> => {
  const control = filling.begin();
  const missing = open.masters.filter(({ id }) => !inWorker.has(id));
  $onSamples.set(open.onSamples);
  if (missing.length > 0) {
    pending = open;
    $masters.set([]);
    await openEach(missing, control);
    if (!filling.isLatest(control)) return;
  }
  const masters = open.masters.filter(({ id }) => inWorker.has(id));
  // Those that cannot be opened are tried again with the next step.
  pending = masters.length < open.masters.length ? open : undefined;
  $masters.set(masters.length < open.masters.length ? masters : open.masters);
};

const openEach = async (missing: OpenSet['masters'], control: AbortController): Promise<void> => {
  const work = telling(control);
  for (const [i, { id, file: name, from }] of missing.entries()) {
    work.tell(text.lines.opening(name), i / missing.length);
    try {
      await openInWorker({ id, name, from }, control.signal);
    } catch (error) {
      if (!control.signal.aborted) report('open', error);
    }
    if (control.signal.aborted) break;
  }
  work.end();
};

/** How often the worker broke down since it last measured lines. */
let falls = 0;
const MOST_FALLS = 3;
$reports.listen((reports) => {
  if (Object.keys(reports).length > 0) falls = 0;
});

// A worker that breaks down takes its masters with it.
$engineRun.listen(() => {
  const asked = askedMasters();
  inWorker.clear();
  resting = [];
  filling.stop();
  pending = asked;
  $masters.set([]);
  falls++;
  if (falls <= MOST_FALLS) {
    say({ topic: 'engine', kind: 'note', words: text.messages.restarted });
    showMasters(asked);
    return;
  }
  const act = () => {
    falls = 0;
    unsay('engine');
    showMasters(askedMasters());
  };
  const { falling, fallingAdvice, tryAgain } = engineText;
  say({ topic: 'engine', kind: 'fault', words: falling, advice: fallingAdvice, action: { words: tryAgain, act } });
});
