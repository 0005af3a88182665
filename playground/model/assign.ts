import { lineOf } from '../../lib/measure/filters.ts';

/** Why a master stands for a line. */
export type Reason =
  | { readonly kind: 'header'; readonly keyword: string; readonly value: string }
  | { readonly kind: 'name' }
  | { readonly kind: 'chosen' }
  | { readonly kind: 'left' }
  | { readonly kind: 'taken' }
  /** A further master of a line, combined with the first. */
  | { readonly kind: 'together' }
  /** It cannot be combined with the first. */
  | { readonly kind: 'apart'; readonly why: string }
  | { readonly kind: 'unknown' };

export interface Guess {
  /** Empty where no line is recognised. */
  readonly line: string;
  readonly reason: Reason;
}

/** What can be known of a master without its pixels. */
export interface Described {
  readonly file: string;
  readonly size?: { readonly width: number; readonly height: number } | undefined;
  readonly filter?: string | undefined;
  readonly filterKeyword?: string | undefined;
  /** The line that whoever opened it gave it. */
  readonly said?: string | undefined;
}

/** The line that a master was given, else one by the header's filter, else by the file's name. */
export const guessLine = ({ file, filter, filterKeyword, said }: Described): Guess => {
  if (said !== undefined) return { line: said, reason: { kind: 'chosen' } };
  const found = lineOf(filter, file);
  if (found === undefined) return { line: '', reason: { kind: 'unknown' } };
  const { line, from } = found;
  if (from === 'name') return { line, reason: { kind: 'name' } };
  return { line, reason: { kind: 'header', keyword: filterKeyword ?? 'FILTER', value: filter! } };
};

/**
 * Lines for new masters beside those already open. A further master of a line goes together with the first where both
 * have one size and different names; else the first keeps the line. Of three masters in all, a single one without a
 * line gets the one of S, H, O that is left, and says so.
 */
export const assignLines = (
  masters: readonly Described[],
  open: readonly (Described & { readonly line: string })[] = [],
): Guess[] => {
  const used = open.filter(({ line }) => line !== '');
  const guesses = masters.map((master): Guess => {
    const guess = guessLine(master);
    if (guess.line === '') return guess;
    const others = used.filter(({ line }) => line === guess.line);
    used.push({ ...master, line: guess.line });
    if (others.length === 0) return guess;
    return others.every((other) => goTogether(other, master))
      ? { line: guess.line, reason: { kind: 'together' } }
      : { line: '', reason: { kind: 'taken' } };
  });
  const without = guesses.filter(({ line }) => line === '');
  const left = ['S', 'H', 'O'].filter((name) => !used.some(({ line }) => line === name));
  if (masters.length + open.length !== 3 || without.length !== 1 || left.length !== 1) return guesses;
  return guesses.map((guess) => (guess.line === '' ? { line: left[0]!, reason: { kind: 'left' } } : guess));
};

const goTogether = (a: Described, b: Described): boolean =>
  a.file !== b.file && a.size?.width === b.size?.width && a.size?.height === b.size?.height;
