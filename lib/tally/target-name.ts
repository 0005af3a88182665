import { lineIn } from '../measure/filters.ts';
import { fileName, PICTURE_NAME } from './path.ts';

/**
 * What spellings of one target have in common: letters and digits, without case and accents, and the blanks between
 * numbers. `M 31`, `m31` and `M-31` are one; `Wing 1 12` and `Wing 11 2` are two.
 */
export const targetKey = (name: string): string =>
  name
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()
    .replace(/(?<!\p{N}) | (?!\p{N})/gu, '');

/** How headers say that they do not know the target. */
const NOBODY = /^(unknown|none|unnamed|no ?name|n\/?a)$/i;

/** The target that a header names; undefined where it names none. */
export const targetOf = (object: string | undefined): string | undefined => {
  const name = object?.normalize('NFC').trim().replace(/\s+/g, ' ');
  return name === undefined || targetKey(name) === '' || NOBODY.test(name) ? undefined : name;
};

/** Words of file and folder names that tell of anything but a target: counts, lengths, dates, settings, kinds. */
const ASIDE =
  /^(\d[\d.x:]*(s|secs?|min|h|c|nm)?|\d{8}t\d+z?|(bin|gain|iso|offset|night|session)\d*|masters?|stack(ed)?|lights?|subs?|frames?|images?|img|raws?|fits|captures?|data|season|nights?|calibrated|registered|filter)$/i;

/** Catalogues of nebulae and clusters, behind whose names a number belongs to the name. */
const CATALOGUE = /^(m|ngc|ic|sh ?2|vdb|ldn|lbn|rcw|gum|abell|arp|ugc|ced|cr|mel|pk|hh|barnard|b|c)$/i;

/** What is left of a name without the words that speak of its line and those that `isAside` leaves out. */
const nameWithout = (
  name: string,
  line: string | undefined,
  isAside: (word: string, before: string) => boolean,
): string => {
  const words = name.replace(PICTURE_NAME, '').split(/[\s_.-]+/);
  const speaks = (text: string) => line !== undefined && lineIn(text) === line;
  return words
    .filter((word, i) => {
      const before = words[i - 1] ?? '';
      // `H-alpha` and `O III` are two words.
      return word !== '' && !isAside(word, before) && !speaks(word) && !(speaks(before) && speaks(before + word));
    })
    .join(' ');
};

/** What is left of a master's file name without the words that speak of its line. */
export const nameWithoutLine = (name: string, line: string): string =>
  nameWithout(name, line, (word) => /^(masters?|stack|stacked)$/i.test(word));

const DATE = /(?<!\d)\d{4}[-_.]?\d\d[-_.]?\d\d(?!\d)/g;

/** A folder's name without dates, line and words of order; its numbers stay, as they may be the target's. */
const folderTarget = (folder: string, line: string): string => {
  const name = nameWithout(folder.replace(DATE, ''), line, (word) => ASIDE.test(word) && !/^\d{1,5}$/.test(word));
  return /\p{L}/u.test(name) ? name : '';
};

/** A file's name without all that; its numbers count files, but for those of catalogues. */
const fileTarget = (file: string, line: string): string =>
  nameWithout(file, line, (word, before) => ASIDE.test(word) && !(/^\d+$/.test(word) && CATALOGUE.test(before)));

/**
 * Names that a sub's file name and its folders propose for its target, the likeliest first: of the file, then folder by
 * folder upwards.
 */
export const namesInPath = (path: string, line: string): string[] => {
  const folders = path.split('/').slice(0, -1).reverse();
  return [fileTarget(fileName(path), line), ...folders.map((folder) => folderTarget(folder, line))].filter(
    (name) => name !== '',
  );
};
