import { atom, computed } from 'nanostores';
import type { OpenedMaster } from '../../lib/web/open-master.ts';
import type { LineReport } from '../../lib/web/service.ts';
import { assignLines, type Described, type Reason } from '../model/assign.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text.ts';
import { engineText } from '../text-engine.ts';
import { $engineRun, engine } from './engine.ts';
import { report, say, unsay } from './messages.ts';

/** An open master, the line it stands for (empty for none) and why. */
export interface PageMaster extends OpenedMaster {
  readonly from: Blob | string;
  readonly line: string;
  readonly reason: Reason;
}

export const $masters = atom<readonly PageMaster[]>([]);

/** True while the masters are the samples that come with the page. */
export const $onSamples = atom(true);

/** What is being opened or measured: share done, and how to stop it. */
export const $opening = atom<{ readonly words: string; readonly done: number; cancel(): void } | undefined>(undefined);

/** Line → id of its master; the ids of several masters of one line are joined by `+`, and the worker combines them. */
export const $lines = computed($masters, (masters) => {
  const lines: Record<string, string> = {};
  for (const { line, id } of masters) if (line !== '') lines[line] = lines[line] ? `${lines[line]}+${id}` : id;
  return lines;
});

/** Numbers and distribution of each line. */
export const $reports = atom<Readonly<Record<string, LineReport>>>({});

let nextId = 0;

/** What a line can be guessed from. */
export const described = ({ file, width, height, facts }: OpenedMaster): Described => ({
  file,
  size: { width, height },
  filter: facts.filter,
  filterKeyword: facts.from.filter,
});

const openingNow = latest();

interface Chosen {
  readonly name: string;
  readonly from: Blob | string;
}

/** Opens files one by one; those that cannot be opened are reported and left out. */
const openEach = async (chosen: readonly Chosen[], control: AbortController) => {
  const opened: (OpenedMaster & Chosen)[] = [];
  for (const [i, one] of chosen.entries()) {
    if (control.signal.aborted) break;
    $opening.set({ words: text.lines.opening(one.name), done: i / chosen.length, cancel: () => control.abort() });
    try {
      const wish = { id: `m${nextId++}`, ...one };
      opened.push({ ...(await engine().call('open', wish, { signal: control.signal })), ...one });
    } catch (error) {
      report('open', error);
    }
  }
  return opened;
};

const close = (masters: readonly { readonly id: string }[]): void => {
  for (const { id } of masters)
    engine()
      .call('close', { id })
      .catch(() => {});
};

/** So many bytes of masters make people wonder whether their computer can hold them. */
const LARGE = 1e9;

/** Says before anything is read what becomes of very large files. */
const tellSize = (chosen: readonly Chosen[]): void => {
  const bytes = chosen.reduce((sum, { from }) => sum + (from instanceof Blob ? from.size : 0), 0);
  if (bytes > LARGE) say({ topic: 'size', kind: 'note', words: text.lines.large((bytes / 1e9).toFixed(1)) });
};

/**
 * Opens masters and gives each a line. Own masters replace the samples; later ones are added. Opening others meanwhile
 * stops this.
 */
export const openMasters = async (chosen: readonly Chosen[], samples = false): Promise<void> => {
  const control = openingNow.begin();
  unsay('open');
  tellSize(chosen);
  const run = $engineRun.get();
  let opened = await openEach(chosen, control);
  // What was opened in a worker that broke down meanwhile is gone with it.
  if ($engineRun.get() !== run && !control.signal.aborted) {
    close(opened);
    opened = await openEach(chosen, control);
  }
  await reopening;
  if (openingNow.isLatest(control)) $opening.set(undefined);
  if (control.signal.aborted) return close(opened);
  if (opened.length === 0) return;
  const before = $masters.get();
  const kept = $onSamples.get() && !samples ? [] : before;
  const guesses = assignLines(
    opened.map(described),
    kept.map((master) => ({ ...described(master), line: master.line })),
  );
  close(before.filter((master) => !kept.includes(master)));
  $onSamples.set(samples);
  $masters.set([...kept, ...opened.map(({ name: _, ...master }, i) => ({ ...master, ...guesses[i]! }))]);
};

export const removeMaster = (id: string): void => {
  $masters.set($masters.get().filter((master) => master.id !== id));
  close([{ id }]);
};

const measuring = latest();

/** Measures all lines anew whenever a master or its line changes. */
const measure = async (lines: Readonly<Record<string, string>>): Promise<void> => {
  const control = measuring.begin();
  const names = Object.keys(lines);
  if (names.length === 0) return void $reports.set({});
  const progress = (done: number) => {
    if (measuring.isLatest(control)) $opening.set({ words: text.lines.measuring, done, cancel: () => control.abort() });
  };
  try {
    const reports = await engine().call('measure', { lines, zeros: 'undefined' }, { signal: control.signal, progress });
    if (!measuring.isLatest(control)) return;
    unsay('masters');
    falls = 0;
    $reports.set(Object.fromEntries(reports.map((entry, i) => [names[i]!, entry])));
  } catch (error) {
    if (measuring.isLatest(control)) report('masters', error);
  } finally {
    if (measuring.isLatest(control)) $opening.set(undefined);
  }
};

$lines.listen((lines, before) => {
  if (JSON.stringify(lines) !== JSON.stringify(before)) void measure(lines);
});

/** Masters that the worker took with it when it broke down, until they are open again. */
let lost: readonly PageMaster[] = [];
let reopening = Promise.resolve();
/** How often the worker broke down since it last measured all lines. */
let falls = 0;
const MOST_FALLS = 3;

/** Opens lost masters again under their ids. Should the worker break down meanwhile, whoever hears of it does it. */
const openAgain = async (): Promise<void> => {
  const run = $engineRun.get();
  const opened: PageMaster[] = [];
  for (const master of lost) {
    const { id, file: name, from } = master;
    try {
      await engine().call('open', { id, name, from });
      opened.push(master);
    } catch (error) {
      report('open', error);
    }
    if ($engineRun.get() !== run) return;
  }
  lost = [];
  $masters.set([...opened, ...$masters.get()]);
};

$engineRun.listen(() => {
  lost = [...lost, ...$masters.get()];
  $masters.set([]);
  falls++;
  if (falls <= MOST_FALLS) {
    say({ topic: 'engine', kind: 'note', words: text.messages.restarted });
    reopening = openAgain();
    return;
  }
  const act = () => {
    falls = 0;
    unsay('engine');
    reopening = openAgain();
  };
  const { falling, fallingAdvice, tryAgain } = engineText;
  say({ topic: 'engine', kind: 'fault', words: falling, advice: fallingAdvice, action: { words: tryAgain, act } });
});
