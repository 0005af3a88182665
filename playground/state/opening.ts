import type { OpenedMaster } from '../../lib/web/open-master.ts';
import { assignLines, type Guess, guessLine, type Reason } from '../model/assign.ts';
import { latest } from '../model/latest.ts';
import { text } from '../text.ts';
import { askWhere } from './arrival.ts';
import { $engineRun } from './engine.ts';
import type { Fresh } from './fresh.ts';
import { $history, changePart, notePart, type OpenSet } from './history.ts';
import { $masters, described, type PageMaster, telling } from './masters.ts';
import { reportAll, say, unsay } from './messages.ts';
import { askedMasters, closeInWorker, openInWorker, showMasters } from './open-set.ts';

interface Chosen {
  readonly name: string;
  /** The line that it was given for, where that is known. */
  readonly said?: string | undefined;
  readonly from: Blob | string;
}

const openingNow = latest();
let nextId = 0;

/** So often a file is tried whose worker broke down meanwhile. */
const MOST_TRIES = 2;

const openOne = async (one: Chosen, control: AbortController): Promise<OpenedMaster & Chosen> => {
  const wish = { id: `m${nextId++}`, ...one };
  for (let tries = 1; ; tries++) {
    const run = $engineRun.get();
    try {
      return { ...(await openInWorker(wish, control.signal)), ...one };
    } catch (error) {
      if ($engineRun.get() === run || tries >= MOST_TRIES || control.signal.aborted) throw error;
    }
  }
};

/** Opens files one by one; those that cannot be opened are reported and left out. */
const openEach = async (chosen: readonly Chosen[], control: AbortController) => {
  const opened: (OpenedMaster & Chosen)[] = [];
  const failed: unknown[] = [];
  const work = telling(control);
  for (const [i, one] of chosen.entries()) {
    if (control.signal.aborted) break;
    work.tell(text.lines.opening(one.name), i / chosen.length);
    await openOne(one, control).then(
      (found) => opened.push(found),
      (error) => failed.push(error),
    );
  }
  work.end();
  reportAll('open', failed);
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
 * @param first what the page opens with: no step that could be taken back, unless masters are of several targets
 */
export const openMasters = async (chosen: readonly Chosen[], first?: 'samples' | 'served'): Promise<void> => {
  const samples = first === 'samples';
  const control = openingNow.begin();
  unsay('open');
  tellSize(chosen);
  const [opened, { openTargets }] = await Promise.all([openEach(chosen, control), targetsFor(samples ? [] : chosen)]);
  if (control.signal.aborted) return close(opened);
  if (opened.length === 0) return;
  const fresh = opened.map(({ name: _, ...master }) => master);
  if (first === undefined) void import('./keep-open.ts').then(({ keepOpen }) => keepOpen()).catch(() => {});
  if (fresh.length > 1 && openTargets?.(fresh)) return;
  const masters = await placed(fresh, samples);
  if (masters === undefined) return close(opened);
  if (masters === 'target') return (await import('./targets.ts')).openBeside(fresh);
  const next = { masters, onSamples: samples };
  if (first !== undefined) return showMasters(next);
  stepTo(next, text.lines.openedStep(fresh.map(({ file }) => file)));
};

const close = (opened: readonly OpenedMaster[]): void => closeInWorker(opened.map(({ id }) => id));

/** Loads the code that tells targets apart, if there may be several, while files are being opened. */
const targetsFor = async (chosen: readonly Chosen[]): Promise<Partial<typeof import('./targets.ts')>> =>
  chosen.length > 1 ? import('./targets.ts') : {};

/** All masters with the new ones among them; undefined where the user wants none of them, or says that they are another target's. */
const placed = async (fresh: readonly Fresh[], samples: boolean): Promise<PageMaster[] | 'target' | undefined> => {
  // Asked again after an answer: other steps may have come meanwhile.
  const before = (): readonly PageMaster[] => {
    const { masters, onSamples } = askedMasters();
    return onSamples && !samples ? [] : masters;
  };
  const seen = fresh.map((master) => ({ ...described(master), said: master.said }));
  const withLines = (kept: readonly PageMaster[]): PageMaster[] => {
    const guesses = assignLines(
      seen,
      kept.map((master) => ({ ...described(master), line: master.line })),
    );
    return [...kept, ...fresh.map(({ said: _, ...master }, i) => ({ ...master, ...guesses[i]! }))];
  };
  const lines = seen.map((master) => guessLine(master).line);
  const taken = [...new Set(lines.filter((line) => line !== '' && before().some((master) => master.line === line)))];
  if (taken.length === 0) return withLines(before());
  const answer = await askWhere({ files: fresh.map(({ file }) => file), lines: taken });
  if (answer === undefined) return undefined;
  if (answer === 'target') return 'target';
  if (answer === 'nights') return withLines(before());
  return withLines(before().filter(({ line }) => !taken.includes(line)));
};

/** Shows other masters, or the same with other lines, as a step that can be undone. */
const stepTo = (open: OpenSet, label: string): void => {
  notePart({ open: askedMasters() });
  showMasters(open);
  changePart({ open }, label);
};

/** Opens further pictures of a master's file, each as a master of its own. */
export const openPages = ({ file, from }: PageMaster, endings: readonly string[]): Promise<void> =>
  openMasters(endings.map((ending) => ({ name: file + ending, from })));

/** Closes a master; a step back opens it again. */
export const removeMaster = (id: string): void => {
  const { masters, onSamples } = askedMasters();
  const gone = masters.find((master) => master.id === id);
  if (gone === undefined) return;
  const left = masters.filter((master) => master !== gone);
  stepTo({ masters: left, onSamples }, text.lines.removeWhat(gone.file));
};

/** Gives masters other lines. */
const assign = (change: (master: PageMaster) => PageMaster, label: string): void => {
  const { masters, onSamples } = askedMasters();
  stepTo({ masters: masters.map(change), onSamples }, label);
};

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

// Steps back and forth take the masters along.
$history.listen(({ present }, before) => {
  const { open } = present.value;
  if (open === undefined || open === before?.present.value.open || open.masters === askedMasters().masters) return;
  showMasters(open);
});
