import { atom, onMount } from 'nanostores';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { Combination } from '../../lib/web/combination.ts';
import { latest } from '../model/latest.ts';
import { engine } from './engine.ts';
import { $lines, $masters } from './masters.ts';
import { report } from './messages.ts';

/** How the masters of lines that have several were combined, by line. */
export const $combinations = atom<Readonly<Record<string, Combination>>>({});

const looking = latest();

/** Looks at each line alone, so that what is wrong with one is no matter of the others. */
const look = async (): Promise<void> => {
  const control = looking.begin();
  const found: Record<string, Combination> = {};
  for (const [line, id] of Object.entries($lines.get())) {
    if (!id.includes('+')) continue;
    try {
      const [one] = await engine().call('combinations', { lines: { [line]: id } }, { signal: control.signal });
      if (control.signal.aborted) return;
      if (one) found[line] = one;
    } catch (error) {
      if (control.signal.aborted) return;
      report('combine', error);
      if (error instanceof LinewashError && error.tag === 'input') return takeApart(line, error.message);
    }
  }
  $combinations.set(found);
};

/** Leaves the line to its first master: the mix goes on with that. */
const takeApart = (line: string, why: string): void => {
  const first = $masters.get().find((master) => master.line === line);
  $masters.set(
    $masters
      .get()
      .map((master) =>
        master.line === line && master !== first ? { ...master, line: '', reason: { kind: 'apart', why } } : master,
      ),
  );
};

onMount($combinations, () => {
  const stop = $lines.listen((lines, before) => {
    if (JSON.stringify(lines) !== JSON.stringify(before)) void look();
  });
  void look();
  return () => {
    stop();
    looking.stop();
  };
});
