import { guessLine, type Reason } from '../model/assign.ts';
import { text } from '../text.ts';
import { $history, changePart, notePart } from './history.ts';
import { $masters, described, type PageMaster } from './masters.ts';

const linesNow = (): Record<string, string> => Object.fromEntries($masters.get().map(({ id, line }) => [id, line]));

/** Gives masters other lines as a step that can be undone. */
const assign = (change: (master: PageMaster) => PageMaster, label: string): void => {
  notePart({ lines: linesNow() });
  $masters.set($masters.get().map(change));
  changePart({ lines: linesNow() }, label);
};

const chosen = { kind: 'chosen' } as const;

/** Gives a master another line; masters that had it are left without. */
export const chooseLine = (id: string, line: string): void =>
  assign(
    (master) => {
      if (master.id === id) return { ...master, line, reason: chosen };
      return line !== '' && master.line === line ? { ...master, line: '', reason: { kind: 'taken' } } : master;
    },
    text.lines.lineOf($masters.get().find((master) => master.id === id)!.file),
  );

/** Lets a master go together with those that have the line. */
export const joinLine = (id: string, line: string): void =>
  assign(
    (master) => (master.id === id ? { ...master, line, reason: { kind: 'together' } } : master),
    text.lines.lineOf($masters.get().find((master) => master.id === id)!.file),
  );

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

/** What speaks for a line that comes back. */
const reasonFor = (master: PageMaster, line: string): Reason => {
  const guess = guessLine(described(master));
  return guess.line === line ? guess.reason : chosen;
};

// Steps back and forth take the lines of masters along; masters that came since keep theirs.
$history.listen(({ present }, before) => {
  const { lines } = present.value;
  if (lines === undefined || lines === before?.present.value.lines) return;
  const masters = $masters.get();
  if (masters.every(({ id, line }) => (lines[id] ?? line) === line)) return;
  $masters.set(
    masters.map((master) => {
      const line = lines[master.id] ?? master.line;
      return line === master.line ? master : { ...master, line, reason: reasonFor(master, line) };
    }),
  );
});
