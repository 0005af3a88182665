import { formatError } from '../../plane/errors.ts';
import type { FitsBytes } from './bytes.ts';
import { CARD_BYTES, type FitsCard, parseCard, parseContinuation } from './card.ts';
import { cardText, UNPRINTABLE } from './card-text.ts';

/** FITS files are made of blocks of this many bytes. */
export const BLOCK_BYTES = 2880;

const CARDS_PER_BLOCK = BLOCK_BYTES / CARD_BYTES;
/** 8 MB of header, a hundred times the longest in practice; keeps the search for a missing END short. */
const MAX_BLOCKS = 2800;

/** The cards of one header. */
export interface Header {
  readonly cards: readonly FitsCard[];
  /** The first card of each keyword, keyword as written. */
  readonly byKeyword: ReadonlyMap<string, FitsCard>;
  /** Byte offset of the data that follow. */
  readonly end: number;
  readonly warnings: readonly string[];
}

/**
 * Reads the header that starts at `offset`, up to its END card.
 * @throws LinewashError 'format' where END is missing.
 */
export const readHeader = async (bytes: FitsBytes, offset: number): Promise<Header> => {
  const lines: string[] = [];
  for (let block = 0; block < MAX_BLOCKS; block++) {
    const at = offset + block * BLOCK_BYTES;
    const length = await bytes.available(at, BLOCK_BYTES);
    const found = appendLines(await bytes.read(at, length - (length % CARD_BYTES)), lines);
    if (found === 'end') return parseHeader(lines, at + BLOCK_BYTES);
    if (found === 'binary' || length < BLOCK_BYTES) break;
  }
  throw formatError(
    bytes.name,
    `the header has no END card (${lines.length} cards were searched)`,
    'the file is damaged or was cut while copying: copy or export it again',
  );
};

/** Adds the block's cards to `lines`; tells whether END was among them, or whether this is no header any more. */
const appendLines = (block: Uint8Array, lines: string[]): 'end' | 'binary' | 'more' => {
  let strange = 0;
  for (let at = 0; at < block.length; at += CARD_BYTES) {
    const line = cardText(block.subarray(at, at + CARD_BYTES));
    if (isEnd(block, at)) return 'end';
    if (line.slice(0, 8).includes(UNPRINTABLE)) strange++;
    lines.push(line);
  }
  return strange > CARDS_PER_BLOCK / 2 ? 'binary' : 'more';
};

const SPACE = 0x20;

/** The standard asks for blanks after END; some writers leave NULs. */
const isEnd = (block: Uint8Array, at: number): boolean =>
  block[at] === 0x45 &&
  block[at + 1] === 0x4e &&
  block[at + 2] === 0x44 &&
  block.subarray(at + 3, at + 8).every((code) => code === SPACE || code === 0);

/** Parses the lines before END, joining CONTINUE strings. */
export const parseHeader = (lines: readonly string[], end: number): Header => {
  const cards: FitsCard[] = [];
  for (let i = 0; i < lines.length; i++) {
    let card = parseCard(lines[i]!);
    const parts: string[] = [];
    while (card.open && i + 1 < lines.length) {
      const next = parseContinuation(lines[i + 1]!);
      if (!next) break;
      i++;
      parts.push(card.text.slice(0, -1));
      const comment = [card.comment, next.comment].filter(Boolean).join(' ');
      card = { ...next, keyword: card.keyword, ...(comment && { comment }) };
    }
    if (parts.length > 0) {
      const text = parts.join('') + card.text;
      card = { ...card, value: text, text };
    }
    cards.push(card);
  }
  const { byKeyword, warnings } = indexCards(cards);
  return { cards, byKeyword, end, warnings };
};

/** Keywords whose value decides about the pixels: two different values must be spoken of. */
const DECISIVE = /^(BITPIX|NAXIS\d*|BZERO|BSCALE|BLANK|PCOUNT|GCOUNT|ROWORDER|Z[A-Z]+\d*)$/;

const indexCards = (cards: readonly FitsCard[]): { byKeyword: Map<string, FitsCard>; warnings: string[] } => {
  const byKeyword = new Map<string, FitsCard>();
  const warnings: string[] = [];
  const odd: string[] = [];
  const unmarked: string[] = [];
  for (const card of cards) {
    if (card.odd) odd.push(card.keyword);
    if (card.unmarked) unmarked.push(card.keyword);
    const first = byKeyword.get(card.keyword);
    if (!first || (first.unmarked && !card.unmarked)) byKeyword.set(card.keyword, card);
    else if (!card.unmarked && first.text !== card.text && DECISIVE.test(card.keyword))
      warnings.push(`${card.keyword} is given twice, as ${first.text} and as ${card.text}; the first is used`);
  }
  const lower = cards.filter((card) => card.text !== '' && /^[\w-]*[a-z][\w-]*$/.test(card.keyword));
  if (lower.length > 0)
    warnings.push(
      `keywords in lower case are outside the standard and do not affect pixels: ${listNames(lower.map((c) => c.keyword))}`,
    );
  if (unmarked.length > 0)
    warnings.push(`cards without "= " in columns 9 and 10 have no value and are ignored: ${listNames(unmarked)}`);
  if (odd.length > 0) warnings.push(`cards outside the standard were kept as text: ${listNames(odd)}`);
  return { byKeyword, warnings };
};

const listNames = (names: readonly string[]): string =>
  names.slice(0, 5).join(', ') + (names.length > 5 ? ` and ${names.length - 5} more` : '');

/** The number a keyword holds, undefined where the keyword is absent or empty. @throws LinewashError where it is no number. */
export const numberOf = (name: string, header: Header, keyword: string): number | undefined => {
  const card = header.byKeyword.get(keyword);
  if (card === undefined || card.value === undefined) return undefined;
  if (typeof card.value === 'number') return card.value;
  throw formatError(name, `${keyword} should be a number but reads "${card.text.slice(0, 40)}"`, EXPORT_AGAIN);
};

/** A count: an integer ≥ 0 that arithmetic holds exactly. @throws LinewashError otherwise, or where absent without a default. */
export const countOf = (name: string, header: Header, keyword: string, absent?: number): number => {
  const value = numberOf(name, header, keyword) ?? absent;
  if (value !== undefined && Number.isSafeInteger(value) && value >= 0) return value;
  const found = value === undefined ? absence(header, keyword) : `is ${value}, which is no possible count`;
  throw formatError(name, `the header is wrong: ${keyword} ${found}`, EXPORT_AGAIN);
};

/** Why a keyword has no value, as the end of a sentence. */
export const absence = (header: Header, keyword: string): string =>
  header.byKeyword.get(keyword)?.unmarked ? 'has no value, as columns 9 and 10 of its card are not "= "' : 'is missing';

/** The string a keyword holds, undefined where absent or not a string. */
export const stringOf = (header: Header, keyword: string): string | undefined => {
  const value = header.byKeyword.get(keyword)?.value;
  return typeof value === 'string' ? value : undefined;
};

export const EXPORT_AGAIN = 'export the file again from the program that wrote it';
