import type { Card } from '../../plane/facts.ts';

/** A header card as parsed: `text` is the value as written (strings without their quotes), for names that look like numbers. */
export interface FitsCard extends Card {
  readonly text: string;
  /** What is odd about the card, as a phrase; undefined where it follows the standard. */
  readonly odd?: string;
  /** True for a string in quotes that ends in '&': a CONTINUE card may follow. */
  readonly open?: boolean;
  /** True where an '=' looks like the value indicator "= " but is none, so that the card has no value. */
  readonly unmarked?: boolean;
}

/** Length of a header card in bytes. */
export const CARD_BYTES = 80;

/**
 * Parses one 80-character card (FITS standard 4.0, section 4): never throws.
 * Commentary, and whatever has no value indicator, becomes a card with a comment and no value.
 */
export const parseCard = (line: string): FitsCard => {
  if (line.startsWith('HIERARCH ')) return parseHierarch(line);
  const keyword = line.slice(0, 8).trimEnd();
  if (line[8] !== '=' || keyword === '' || isCommentary(keyword)) return commentary(keyword, line.slice(8));
  if (line[9] === ' ') return parseValue(keyword, line.slice(10));
  return { ...commentary(keyword, line.slice(8)), unmarked: true };
};

/** The string that a CONTINUE card adds, or undefined where it holds none. */
export const parseContinuation = (line: string): FitsCard | undefined => {
  if (!line.startsWith('CONTINUE  ')) return undefined;
  const rest = line.slice(10);
  return rest.trimStart().startsWith("'") ? parseValue('CONTINUE', rest) : undefined;
};

const isCommentary = (keyword: string): boolean => keyword === 'COMMENT' || keyword === 'HISTORY';

const commentary = (keyword: string, rest: string): FitsCard => {
  const comment = rest.trimEnd();
  return comment === ''
    ? { keyword, value: undefined, text: '' }
    : { keyword, value: undefined, comment: comment.replace(/^ /, ''), text: '' };
};

/** ESO's HIERARCH convention: `HIERARCH any words = value / comment`. The keyword keeps its prefix. */
const parseHierarch = (line: string): FitsCard => {
  const equals = line.indexOf('=');
  const words = line.slice(9, equals < 0 ? 9 : equals).trim();
  if (words === '') return commentary('HIERARCH', line.slice(8));
  return parseValue(`HIERARCH ${words.replace(/\s+/g, ' ')}`, line.slice(equals + 1));
};

const parseValue = (keyword: string, field: string): FitsCard => {
  const body = field.trimStart();
  if (body.startsWith("'")) return parseString(keyword, body);
  const slash = body.indexOf('/');
  const text = (slash < 0 ? body : body.slice(0, slash)).trim();
  return { keyword, ...parsePlain(text), text, ...commentOf(slash < 0 ? '' : body.slice(slash + 1)) };
};

const commentOf = (rest: string): { comment?: string } => {
  const comment = rest.trim();
  return comment === '' ? {} : { comment };
};

const parseString = (keyword: string, body: string): FitsCard => {
  let text = '';
  let at = 1;
  for (;;) {
    const quote = body.indexOf("'", at);
    if (quote < 0) {
      text = (text + body.slice(at)).trimEnd();
      return { keyword, value: text, text, odd: 'opens a string that is never closed' };
    }
    text += body.slice(at, quote);
    at = quote + 1;
    if (body[at] !== "'") break;
    text += "'";
    at++;
  }
  const slash = body.indexOf('/', at);
  const open = text.trimEnd().endsWith('&');
  text = text.trimEnd();
  return { keyword, value: text, text, ...commentOf(slash < 0 ? '' : body.slice(slash + 1)), ...(open && { open }) };
};

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([EeDd][+-]?\d+)?$/;

/** Logical, number (with the exponent letter D too) or, outside the standard, the text itself. */
const parsePlain = (text: string): { value: FitsCard['value']; odd?: string } => {
  if (text === '') return { value: undefined };
  if (text === 'T' || text === 'F') return { value: text === 'T' };
  if (NUMBER.test(text)) {
    const value = Number(text.replace(/[dD]/, 'E'));
    if (Number.isFinite(value)) return { value };
  }
  if (/^\(.*\)$/.test(text)) return { value: text };
  return { value: text, odd: 'contains a value that is not a number, logical or quoted string' };
};
