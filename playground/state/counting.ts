import { atom } from 'nanostores';
import { tallyCsv } from '../../lib/tally/csv.ts';
import { holdsSubs } from '../../lib/tally/holds-subs.ts';
import type { Tally } from '../../lib/tally/tally.ts';
import type { DroppedFile } from '../model/dropped.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text-tally.ts';
import { engine } from './engine.ts';
import { telling } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { $tally } from './tally.ts';

const counting = latest();

/** Lines that the user gave for filters, by the filter as headers write it; they hold for this visit. */
export const $filters = atom<Readonly<Record<string, string>>>({});

/** The files that the tally on screen is of. */
let counted: readonly DroppedFile[] = [];

/** Gives a filter a line, or takes it away again, and counts anew. */
export const nameFilter = async (filter: string, line: string): Promise<void> => {
  const { [filter]: _, ...others } = $filters.get();
  $filters.set(line === '' ? others : { ...others, [filter]: line });
  await countSubs(counted);
};

/** Counts subs by their headers, in the worker, and shows the sums. */
export const countSubs = async (files: readonly DroppedFile[]): Promise<void> => {
  const work = counting.begin();
  unsay('tally');
  try {
    const found = await sums(files, work);
    if (counting.isLatest(work)) show(files, found);
  } catch (error) {
    if (counting.isLatest(work) && !work.signal.aborted) report('tally', error);
  }
};

/**
 * Counts files and shows the sums if their headers show that they are subs; else shows nothing.
 * @returns whether nothing is left to be done with the files: false for masters, and for what cannot be counted
 */
export const countIfSubs = async (files: readonly DroppedFile[]): Promise<boolean> => {
  const work = counting.begin();
  unsay('tally');
  try {
    const found = await sums(files, work);
    if (!counting.isLatest(work)) return true;
    if (!holdsSubs(found)) return false;
    show(files, found);
    return true;
  } catch {
    return work.signal.aborted || !counting.isLatest(work);
  }
};

const show = (files: readonly DroppedFile[], found: Tally): void => {
  counted = files;
  $tally.set(found);
};

const sums = async (files: readonly DroppedFile[], control: AbortController): Promise<Tally> => {
  const work = telling(control);
  try {
    work.tell(text.counting(files.length), 0);
    return await engine().call(
      'tally',
      { files, filters: $filters.get() },
      { signal: control.signal, progress: (done: number) => work.tell(text.counting(files.length), done) },
    );
  } finally {
    work.end();
  }
};

/** Puts the tally that is shown on the clipboard, as CSV. */
export const copyTally = async (by: 'line' | 'night'): Promise<void> => {
  const shown = $tally.get();
  if (shown === undefined) return;
  try {
    await navigator.clipboard.writeText(tallyCsv(shown, by));
    say({ topic: 'tally', kind: 'note', words: text.copied });
  } catch {
    say({ topic: 'tally', kind: 'fault', words: text.notCopied });
  }
};
