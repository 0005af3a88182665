import { atom, computed } from 'nanostores';
import type { OpenedMaster } from '../../lib/web/open-master.ts';
import type { LineReport } from '../../lib/web/service.ts';
import type { Described, Reason } from '../model/assign.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text.ts';
import { engine } from './engine.ts';
import { report, unsay } from './messages.ts';

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

/** Tells what is being done until it ends; what began later is told instead. */
export const telling = (control: AbortController) => {
  let own: ReturnType<typeof $opening.get>;
  return {
    tell(words: string, done: number): void {
      own = { words, done, cancel: () => control.abort() };
      $opening.set(own);
    },
    end(): void {
      if ($opening.get() === own) $opening.set(undefined);
    },
  };
};

/** Line → id of its master; the ids of several masters of one line are joined by `+`, and the worker combines them. */
export const linesOf = (masters: readonly PageMaster[]): Readonly<Record<string, string>> => {
  const lines: Record<string, string> = {};
  for (const { line, id } of masters) if (line !== '') lines[line] = lines[line] ? `${lines[line]}+${id}` : id;
  return lines;
};

let lastLines: Readonly<Record<string, string>> = {};

/** The lines of the masters that are open. */
export const $lines = computed($masters, (masters) => {
  const lines = linesOf(masters);
  // The same lines stay the same object: what was asked for with it is still what is asked for.
  if (JSON.stringify(lines) !== JSON.stringify(lastLines)) lastLines = lines;
  return lastLines;
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
/** Line → ids of the masters that its numbers are of. */
let measured: Readonly<Record<string, string>> = {};

const share = (one: string, other: string): boolean => one.split('+').some((id) => other.split('+').includes(id));

/** Forgets the numbers of lines that other masters stand for now, though their files may have the same names. */
const forget = (lines: Readonly<Record<string, string>>): void => {
  const before = Object.entries($reports.get());
  const left = before.filter(([line]) => {
    const [of, now] = [measured[line], lines[line]];
    return of === undefined || now === undefined || share(of, now);
  });
  if (left.length < before.length) $reports.set(Object.fromEntries(left));
};

/** Measures all lines anew whenever a master or its line changes. */
const measure = async (lines: Readonly<Record<string, string>>): Promise<void> => {
  const control = measuring.begin();
  const names = Object.keys(lines);
  forget(lines);
  if (names.length === 0) return void $reports.set({});
  const work = telling(control);
  const progress = (done: number) => {
    if (measuring.isLatest(control)) work.tell(text.lines.measuring, done);
  };
  try {
    const reports = await engine().call('measure', { lines, zeros: 'undefined' }, { signal: control.signal, progress });
    if (!measuring.isLatest(control)) return;
    unsay('masters');
    measured = lines;
    $reports.set(Object.fromEntries(reports.map((entry, i) => [names[i]!, entry])));
  } catch (error) {
    if (measuring.isLatest(control)) report('masters', error);
  } finally {
    work.end();
  }
};

$lines.listen((lines, before) => {
  if (JSON.stringify(lines) !== JSON.stringify(before)) void measure(lines);
});
