import type { Fault, LinewashError } from '../../lib/plane/errors.ts';
import { text } from '../text.ts';

/** So many faults of a recipe are named; the rest are as easily found once these are mended. */
const MOST_FAULTS = 3;

/** What belongs into the text of a recipe or a command, and not into a sentence. */
const SYNTAX = /[{}[\]\\]|(^|\s)--\w|"\s*:\s*["\d]/;

/** Words without the syntax of recipes and commands, with quotation marks as in a text; undefined where they have some. */
const plainWords = (words: string | undefined): string | undefined =>
  words === undefined || SYNTAX.test(words) ? undefined : words.replaceAll(/"([^"]*)"/g, '“$1”').replaceAll('"', '');

/** Where in a recipe a fault lies: `$.matrix[1][2]` is entry 3 of entry 2 of matrix. */
const placeOf = (path: string): string =>
  [...path.matchAll(/\.(\w+)|\['((?:[^'\\]|\\.)*)'\]|\[(\d+)\]/g)]
    .map(([, key, quoted, index]) => (index === undefined ? (key ?? quoted!) : text.messages.entry(Number(index) + 1)))
    .join(', ');

const faultWords = ({ path, message }: Fault): string => {
  const said = plainWords(message) ?? text.messages.notAllowed;
  const place = plainWords(placeOf(path)) ?? '';
  return place === '' ? said : `${place}: ${said}`;
};

/** What can be done on the page: as it calls the option that helps, where there is one. */
const adviceOf = ({ advice, remedy }: LinewashError): string | undefined =>
  remedy === undefined ? plainWords(advice) : text.messages.remedies[remedy.option](remedy.line ?? '');

/** An error as the page says it: never in the syntax of a recipe's text or of the command line. */
export const errorWords = (error: LinewashError): { words: string; advice: string | undefined } => {
  const file = error.file === undefined ? '' : `${error.file}: `;
  const faults = error.tag === 'recipe' ? error.faults.slice(0, MOST_FAULTS).map(faultWords) : [];
  const words = faults.length > 0 ? faults.join('; ') : (plainWords(error.message) ?? text.messages.unsaid);
  return { words: file + words, advice: adviceOf(error) };
};
