import { outputError } from '../../plane/errors.ts';
import type { Card } from '../../plane/facts.ts';
import { CARD_BYTES } from './card.ts';
import { BLOCK_BYTES } from './header.ts';

/**
 * The bytes of a header: the cards in order, END, blanks to whole blocks.
 * Strings longer than a card are continued with CONTINUE (FITS standard 4.0, section 4.2.1.2).
 * @throws LinewashError 'output' for text that is not printable ASCII, or a keyword that is none.
 */
export const headerBytes = (cards: readonly Card[]): Uint8Array => {
  const lines = [...cards.flatMap(cardLines), 'END'];
  const bytes = new Uint8Array(Math.ceil((lines.length * CARD_BYTES) / BLOCK_BYTES) * BLOCK_BYTES).fill(0x20);
  lines.forEach((line, row) => {
    for (let i = 0; i < line.length; i++) bytes[row * CARD_BYTES + i] = line.charCodeAt(i);
  });
  return bytes;
};

const cardLines = (card: Card): string[] => {
  const { keyword, value, comment } = card;
  if (!/^[A-Z0-9_-]{0,8}$/.test(keyword)) throw outputError('FITS header', `"${keyword}" cannot be a keyword`);
  if (/[^\x20-\x7e]/.test(`${value}${comment}`))
    throw outputError('FITS header', `${keyword} holds characters outside ASCII`, 'escape them first');
  if (keyword === 'COMMENT' || keyword === 'HISTORY' || keyword === '')
    return commentLines(keyword, comment ?? String(value ?? ''));
  const start = `${keyword.padEnd(8)}= `;
  if (typeof value === 'string') return stringLines(start, value, comment);
  const text = value === undefined ? '' : typeof value === 'boolean' ? (value ? 'T' : 'F') : numberText(value);
  return [(start + text.padStart(20) + (comment ? ` / ${comment}` : '')).slice(0, CARD_BYTES)];
};

/** The shortest decimal that reads back to the same float64, with the point that marks it as one where it is not whole. */
const numberText = (value: number): string => {
  if (!Number.isFinite(value)) throw outputError('FITS header', `${value} cannot be written as a number`);
  return String(value).toUpperCase();
};

const COMMENT_WIDTH = CARD_BYTES - 8;

const commentLines = (keyword: string, text: string): string[] => {
  const lines: string[] = [];
  for (let at = 0; at === 0 || at < text.length; at += COMMENT_WIDTH)
    lines.push(keyword.padEnd(8) + text.slice(at, at + COMMENT_WIDTH));
  return lines;
};

/** Characters between the quotes of a card. */
const STRING_WIDTH = CARD_BYTES - 12;

const stringLines = (start: string, value: string, comment: string | undefined): string[] => {
  const escaped = value.replaceAll("'", "''");
  if (escaped.length <= STRING_WIDTH && value === value.trimEnd()) {
    const line = `${start}'${escaped.padEnd(8)}'`;
    return [(line.padEnd(30) + (comment ? ` / ${comment}` : '')).slice(0, CARD_BYTES)];
  }
  const pieces = splitString(value);
  return pieces.map((piece, i) => `${i === 0 ? start : 'CONTINUE  '}'${piece}${i < pieces.length - 1 ? '&' : ''}'`);
};

/**
 * Escaped pieces of at most a card each. Trailing blanks are kept by an empty last piece, as blanks before '&' count.
 * Pieces do not begin or end with quotes, blanks or '&' where that can be helped: some readers stumble over them.
 */
const splitString = (value: string): string[] => {
  const letters = Array.from(value, (letter) => (letter === "'" ? "''" : letter));
  const pieces: string[] = [];
  for (let from = 0; from < letters.length; ) {
    const to = breakAfter(letters, from);
    pieces.push(letters.slice(from, to).join(''));
    from = to;
  }
  if (value.endsWith(' ')) pieces.push('');
  return pieces;
};

/** Index after the last letter of the piece that begins at `from`. */
const breakAfter = (letters: readonly string[], from: number): number => {
  let to = from;
  for (let width = 0; to < letters.length; to++) {
    width += letters[to]!.length;
    if (width > STRING_WIDTH - 1) break;
  }
  if (to === letters.length) return to;
  for (let smooth = to; smooth > from + 20; smooth--)
    if (!/[' &]/.test(letters[smooth - 1]! + letters[smooth]!)) return smooth;
  return to;
};
