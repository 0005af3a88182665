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

/**
 * How each line is spelt in headers and file names: the ion, the wavelength in nm as a word of its own, or as the last
 * resort the bare letter. (Common practice.)
 */
const SPELLINGS: readonly { line: string; words: RegExp; letter?: RegExp }[] = [
  { line: 'Hb', words: /\bh ?(beta|b)\b|\bf?486[nm]?\b/ },
  { line: 'He', words: /\bhe ?(ii|2)?\b|\bheii\b|\bf?46[89][nm]?\b/ },
  { line: 'N', words: /\bn ?(ii|2)\b|\b[fn]?658[nm]?\b/, letter: /\bn\b/ },
  { line: 'S', words: /\bs ?(ii|2)\b|\bsul(ph|f)ur\b|\b[fs]?67[123][nm]?\b/, letter: /\bs\b/ },
  { line: 'O', words: /\bo ?(iii|3)\b|\boxygen\b|\b[fo]?50[012][nm]?\b/, letter: /\bo\b/ },
  { line: 'H', words: /\bh ?(alpha|a)\b|\bhydrogen\b|\b[fh]?656[nm]?\b/, letter: /\bh\b/ },
];

/** Lines that a master can be given by hand, besides those of the recipe. */
export const KNOWN_LINES: readonly string[] = ['S', 'H', 'O', 'N', 'Hb', 'He'];

const words = (text: string): string =>
  text
    .toLowerCase()
    .replace(/\.(fits?|fts|tiff?|gz)$/g, '')
    .replaceAll('α', 'a')
    .replaceAll('β', 'b')
    .replace(/[^a-z0-9]+/g, ' ')
    .trim();

/** The line a text speaks of, if exactly one. */
export const lineIn = (text: string): string | undefined => {
  const plain = words(text);
  const strong = SPELLINGS.filter((spelling) => spelling.words.test(plain));
  if (strong.length > 0) return strong.length === 1 ? strong[0]!.line : undefined;
  const weak = SPELLINGS.filter((spelling) => spelling.letter?.test(plain));
  return weak.length === 1 ? weak[0]!.line : undefined;
};

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
