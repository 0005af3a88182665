import type { OpenedMaster } from '../../lib/web/open-master.ts';
import { assignLines, type Guess, guessLine, type Reason } from '../model/assign.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text.ts';
import { askWhere } from './arrival.ts';
import { $engineRun, engine } from './engine.ts';
import { $history, changePart, notePart, type OpenSet } from './history.ts';
import { $masters, $onSamples, $opening, described, type PageMaster, whenReopened } from './masters.ts';
import { report, say, unsay } from './messages.ts';

interface Chosen {
  readonly name: string;
  readonly from: Blob | string;
}

const openingNow = latest();
let nextId = 0;

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

/** So many bytes of masters make people wonder whether their computer can hold them. */
const LARGE = 1e9;

/** Says before anything is read what becomes of very large files. */
const tellSize = (chosen: readonly Chosen[]): void => {
  const bytes = chosen.reduce((sum, { from }) => sum + (from instanceof Blob ? from.size : 0), 0);
  if (bytes > LARGE) say({ topic: 'size', kind: 'note', words: text.lines.large((bytes / 1e9).toFixed(1)) });
};

/**
 * Opens masters and gives each a line. Own masters replace the samples; where later ones have a line that is taken, the
 * user says what they are. Opening others meanwhile stops this.
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
  await whenReopened();
  if (openingNow.isLatest(control)) $opening.set(undefined);
  if (control.signal.aborted) return close(opened);
  if (opened.length === 0) return;
  const fresh = opened.map(({ name: _, ...master }) => master);
  const masters = await placed(fresh, samples);
  if (masters === undefined) return close(opened);
  const next = { masters, onSamples: samples };
  if (samples) return show(next);
  stepTo(next, text.lines.openedStep(fresh.map(({ file }) => file)));
};

type Fresh = OpenedMaster & Pick<PageMaster, 'from'>;

/** All masters with the new ones among them; undefined where the user wants none of them. */
const placed = async (fresh: readonly Fresh[], samples: boolean): Promise<PageMaster[] | undefined> => {
  const before = $onSamples.get() && !samples ? [] : $masters.get();
  const withLines = (kept: readonly PageMaster[]): PageMaster[] => {
    const guesses = assignLines(
      fresh.map(described),
      kept.map((master) => ({ ...described(master), line: master.line })),
    );
    return [...kept, ...fresh.map((master, i) => ({ ...master, ...guesses[i]! }))];
  };
  const lines = fresh.map((master) => guessLine(described(master)).line);
  const taken = [...new Set(lines.filter((line) => line !== '' && before.some((master) => master.line === line)))];
  if (taken.length === 0) return withLines(before);
  const answer = await askWhere({ files: fresh.map(({ file }) => file), lines: taken });
  if (answer === undefined) return undefined;
  if (answer === 'nights') return withLines(before);
  return withLines(answer === 'target' ? [] : before.filter(({ line }) => !taken.includes(line)));
};

/** Ids of masters that were closed on the page but stay open for undo, the oldest first. */
let resting: readonly string[] = [];
/** At most this many closed masters stay in memory for undo; undo reads older ones again. */
const MOST_RESTING = 6;

const close = (masters: readonly { readonly id: string }[]): void => {
  for (const { id } of masters)
    engine()
      .call('close', { id })
      .catch(() => {});
};

const show = ({ masters, onSamples }: OpenSet): void => {
  const ids = new Set(masters.map(({ id }) => id));
  const gone = $masters.get().filter(({ id }) => !ids.has(id));
  const all = [...resting.filter((id) => !ids.has(id)), ...gone.map(({ id }) => id)];
  resting = all.slice(-MOST_RESTING);
  close(all.slice(0, -MOST_RESTING).map((id) => ({ id })));
  $onSamples.set(onSamples);
  $masters.set(masters);
};

const now = (): OpenSet => ({ masters: $masters.get(), onSamples: $onSamples.get() });

/** Shows other masters, or the same with other lines, as a step that can be undone. */
const stepTo = (open: OpenSet, label: string): void => {
  notePart({ open: now() });
  show(open);
  changePart({ open: now() }, label);
};

/** Closes a master; a step back opens it again. */
export const removeMaster = (id: string): void => {
  const masters = $masters.get();
  const gone = masters.find((master) => master.id === id);
  if (gone === undefined) return;
  const left = masters.filter((master) => master !== gone);
  stepTo({ masters: left, onSamples: $onSamples.get() }, text.lines.removeWhat(gone.file));
};

/** Gives masters other lines. */
const assign = (change: (master: PageMaster) => PageMaster, label: string): void =>
  stepTo({ masters: $masters.get().map(change), onSamples: $onSamples.get() }, label);

const chosen = { kind: 'chosen' } as const satisfies Reason;
const stepFor = (id: string): string => text.lines.lineOf($masters.get().find((master) => master.id === id)!.file);

/** Gives a master another line; masters that had it are left without. */
export const chooseLine = (id: string, line: string): void =>
  assign((master) => {
    if (master.id === id) return { ...master, line, reason: chosen };
    return line !== '' && master.line === line ? { ...master, ...TAKEN } : master;
  }, stepFor(id));

const TAKEN: Guess = { line: '', reason: { kind: 'taken' } };

/** Lets a master go together with those that have the line. */
export const joinLine = (id: string, line: string): void =>
  assign((master) => (master.id === id ? { ...master, line, reason: { kind: 'together' } } : master), stepFor(id));

/** Gives the masters of one line the other, and the other way round. */
export const exchangeLines = (one: string, other: string): void => {
  const to: Readonly<Record<string, string>> = { [one]: other, [other]: one };
  assign(
    (master) => {
      const line = to[master.line];
      return line === undefined ? master : { ...master, line, reason: chosen };
    },
    text.lines.exchanged(one, other),
  );
};

/** Opens masters that no longer are, and shows them. Whatever step comes meanwhile counts instead. */
const restore = async (open: OpenSet): Promise<void> => {
  const control = openingNow.begin();
  const ready = new Set([...$masters.get().map(({ id }) => id), ...resting]);
  for (const { id, file: name, from } of open.masters.filter((master) => !ready.has(master.id))) {
    $opening.set({ words: text.lines.opening(name), done: 0, cancel: () => control.abort() });
    try {
      await engine().call('open', { id, name, from }, { signal: control.signal });
    } catch (error) {
      report('open', error);
    }
    if (control.signal.aborted) return;
  }
  $opening.set(undefined);
  show(open);
};

// Steps back and forth take the masters along.
$history.listen(({ present }, before) => {
  const { open } = present.value;
  if (open === undefined || open === before?.present.value.open || open.masters === $masters.get()) return;
  void restore(open);
});

// What rested in a worker that broke down is gone with it.
$engineRun.listen(() => {
  resting = [];
});
