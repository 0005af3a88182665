/**
 * How each line is spelt in headers and file names: the ion, the wavelength in nanometres or ångström as a word of its
 * own, or as the last resort the bare letter. (Common practice.)
 */
export interface FilterSpelling {
  /** The name that recipes use for the line. */
  readonly line: string;
  /** The line in words. */
  readonly label: string;
  readonly words: RegExp;
  readonly letter?: RegExp;
}

/** Spellings by line, matched against lower-case words with single spaces between. */
export const FILTER_SPELLINGS: readonly FilterSpelling[] = [
  { line: 'S', label: 'S II', words: /\bs ?(ii|2)\b|\bsul(ph|f)ur\b|\b[fs]?67[123]\d?(n|nm)?\b/, letter: /\bs\b/ },
  { line: 'H', label: 'Hα', words: /\bh ?(alpha|a|α)(?= |$)|\bhydrogen\b|\b[fh]?656[23]?(n|nm)?\b/, letter: /\bh\b/ },
  { line: 'O', label: 'O III', words: /\bo ?(iii|3)\b|\boxygen\b|\b[fo]?50[012]\d?(n|nm)?\b/, letter: /\bo\b/ },
  { line: 'N', label: 'N II', words: /\bn ?(ii|2)\b|\bnitrogen\b|\b[fn]?658\d?(n|nm)?\b/, letter: /\bn\b/ },
  { line: 'Hb', label: 'Hβ', words: /\bh ?(beta|b|β)(?= |$)|\bf?486[12]?(n|nm)?\b/ },
  { line: 'He', label: 'He II', words: /\bhe ?(ii|2)?\b|\bhelium\b|\bf?46[89][56]?(n|nm)?\b/ },
];

/** Lines that a filter or a name can be recognised as. */
export const KNOWN_LINES: readonly string[] = FILTER_SPELLINGS.map(({ line }) => line);

const wordsOf = (text: string): string =>
  text
    .toLowerCase()
    .replace(/\.(fits?|fts|tiff?|gz)$/g, '')
    .replace(/[^a-z0-9αβ]+/g, ' ')
    .trim();

/** The line that a filter's name, a channel's name or a file's name speaks of; undefined for none and for several. */
export const lineIn = (text: string): string | undefined => {
  const words = wordsOf(text);
  const strong = FILTER_SPELLINGS.filter((spelling) => spelling.words.test(words));
  if (strong.length > 0) return strong.length === 1 ? strong[0]!.line : undefined;
  const weak = FILTER_SPELLINGS.filter((spelling) => spelling.letter?.test(words));
  return weak.length === 1 ? weak[0]!.line : undefined;
};

/** The line of a master by its header's filter, else by its file's name, and which of them said so. */
export const lineOf = (
  filter: string | undefined,
  name: string,
): { readonly line: string; readonly from: 'header' | 'name' } | undefined => {
  const [byHeader, byName] = [filter === undefined ? undefined : lineIn(filter), lineIn(name)];
  if (byHeader !== undefined) return { line: byHeader, from: 'header' };
  return byName === undefined ? undefined : { line: byName, from: 'name' };
};

/** A master as it was given and what its header says. */
export interface NamedFilter {
  readonly name: string;
  readonly file: string;
  readonly filter?: string | undefined;
}

/** A master whose header names another line than the one it was given as. */
export interface FilterFault {
  readonly name: string;
  /** The line that its header names. */
  readonly found: string;
  /** The master that was given as that line and belongs in this one's place, where the two are swapped. */
  readonly swappedWith?: string;
  /** All of it in a sentence. */
  readonly words: string;
}

export const filterFaults = (masters: readonly NamedFilter[]): FilterFault[] => {
  const read = masters.map((master) => ({
    ...master,
    given: lineIn(master.name),
    found: master.filter === undefined ? undefined : lineIn(master.filter),
  }));
  return read.flatMap(({ name, file, filter, given, found }) => {
    if (given === undefined || found === undefined || given === found) return [];
    const other = read.find((m) => m.given === found && m.found === given);
    const advice = other ? `${name} and ${other.name} look swapped` : `is it the ${found} master?`;
    const words = `${file}: given as ${name}, but its header says the filter is ${JSON.stringify(filter)}; ${advice}`;
    return [{ name, found, ...(other && { swappedWith: other.name }), words }];
  });
};
