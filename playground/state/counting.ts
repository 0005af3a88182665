import { tallyCsv } from '../../lib/tally/csv.ts';
import type { DroppedFile } from '../model/dropped.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text-tally.ts';
import { engine } from './engine.ts';
import { telling } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { $tally } from './tally.ts';

const counting = latest();

/** Counts subs by their headers, in the worker, and shows the sums. */
export const countSubs = async (files: readonly DroppedFile[]): Promise<void> => {
  const control = counting.begin();
  unsay('tally');
  const work = telling(control);
  try {
    const options = {
      signal: control.signal,
      progress: (done: number) => work.tell(text.counting(files.length), done),
    };
    work.tell(text.counting(files.length), 0);
    const found = await engine().call('tally', { files }, options);
    if (counting.isLatest(control)) $tally.set(found);
  } catch (error) {
    if (counting.isLatest(control) && !control.signal.aborted) report('tally', error);
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
