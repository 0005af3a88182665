import { atom, computed } from 'nanostores';
import type { OpenedMaster } from '../../lib/web/open-master.ts';
import type { LineReport } from '../../lib/web/service.ts';
import type { Described, Reason } from '../model/assign.ts';
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

/** What a line can be guessed from. */
export const described = ({ file, width, height, facts }: OpenedMaster): Described => ({
  file,
  size: { width, height },
  filter: facts.filter,
  filterKeyword: facts.from.filter,
});

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
/** Resolves when no lost master is being opened again. */
export const whenReopened = (): Promise<void> => reopening;
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
