import { lineIn } from '../../lib/measure/filters.ts';

/** Why a master stands for a line. */
export type Reason =
  | { readonly kind: 'header'; readonly keyword: string; readonly value: string }
  | { readonly kind: 'name' }
  | { readonly kind: 'chosen' }
  | { readonly kind: 'left' }
  | { readonly kind: 'taken' }
  | { readonly kind: 'unknown' };

export interface Guess {
  /** Empty where no line is recognised. */
  readonly line: string;
  readonly reason: Reason;
}

/** What can be known of a master without its pixels. */
export interface Described {
  readonly file: string;
  readonly filter?: string | undefined;
  readonly filterKeyword?: string | undefined;
}

/** A line by the header's filter, else by the file's name. */
export const guessLine = ({ file, filter, filterKeyword }: Described): Guess => {
  const fromHeader = filter === undefined ? undefined : lineIn(filter);
  if (fromHeader !== undefined)
    return { line: fromHeader, reason: { kind: 'header', keyword: filterKeyword ?? 'FILTER', value: filter! } };
  const fromName = lineIn(file);
  if (fromName !== undefined) return { line: fromName, reason: { kind: 'name' } };
  return { line: '', reason: { kind: 'unknown' } };
};

/**
 * Lines for new masters beside those already taken. No line is given twice: the first master keeps it. Of three masters
 * in all, a single one without a line gets the one of S, H, O that is left, and says so.
 */
export const assignLines = (masters: readonly Described[], taken: readonly string[] = []): Guess[] => {
  const used = new Set(taken);
  const guesses = masters.map((master): Guess => {
    const guess = guessLine(master);
    if (guess.line === '') return guess;
    if (used.has(guess.line)) return { line: '', reason: { kind: 'taken' } };
    used.add(guess.line);
    return guess;
  });
  const open = guesses.filter(({ line }) => line === '');
  const left = ['S', 'H', 'O'].filter((line) => !used.has(line));
  if (masters.length + taken.length !== 3 || open.length !== 1 || left.length !== 1) return guesses;
  return guesses.map((guess) => (guess.line === '' ? { line: left[0]!, reason: { kind: 'left' } } : guess));
};
