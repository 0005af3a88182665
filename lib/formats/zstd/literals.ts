import { damaged } from './damage.ts';
import { type HuffmanTable, readHuffman, readHuffmanTable } from './huffman.ts';

/** Most bytes that a block gives (RFC 8878 §3.1.1.2.3). */
export const MOST_BLOCK = 1 << 17;

/** Literals of a block, and the codes that the next block may use again. */
export interface Literals {
  readonly bytes: Uint8Array;
  count: number;
  table: HuffmanTable | undefined;
}

/** Sizes as the header gives them: where it ends, literals, and stored bytes of packed ones. */
const readSizes = (bytes: Uint8Array, at: number, packed: boolean) => {
  const form = (bytes[at]! >> 2) & 3;
  const word = (i: number) => bytes[at + i]! | (bytes[at + i + 1]! << 8) | (bytes[at + i + 2]! << 16);
  if (!packed) {
    const length = form === 1 ? 2 : form === 3 ? 3 : 1;
    const count = length === 1 ? bytes[at]! >> 3 : (word(0) & (length === 2 ? 0xffff : 0xffffff)) >> 4;
    return { body: at + length, count, stored: 0, streams: 1 };
  }
  const length = form < 2 ? 3 : form + 2;
  const width = form < 2 ? 10 : 4 * form + 6;
  const all = (word(0) + word(3) * 2 ** 24) % 2 ** (8 * length);
  const both = Math.floor(all / 16);
  return {
    body: at + length,
    count: both % 2 ** width,
    stored: Math.floor(both / 2 ** width),
    streams: form === 0 ? 1 : 4,
  };
};

/** Four streams of a quarter each; the lengths of three stand in front. */
const readFour = (table: HuffmanTable, bytes: Uint8Array, at: number, end: number, literals: Literals): void => {
  if (at + 6 > end) damaged('literals that end early');
  const quarter = (literals.count + 3) >> 2;
  let start = at + 6;
  for (let i = 0; i < 4; i++) {
    const stop = i === 3 ? end : start + bytes[at + 2 * i]! + 256 * bytes[at + 2 * i + 1]!;
    const to = i === 3 ? literals.count : quarter * (i + 1);
    if (stop > end || to > literals.count) damaged('literals that end early');
    readHuffman(table, bytes, { start, end: stop }, literals.bytes, quarter * i, to);
    start = stop;
  }
};

/** Reads the literals of a block in bytes [at, end); returns where they end (RFC 8878 §3.1.1.3.1). */
export const readLiterals = (bytes: Uint8Array, at: number, end: number, literals: Literals): number => {
  if (at >= end) damaged('a block without literals');
  const kind = bytes[at]! & 3;
  const { body, count, stored, streams } = readSizes(bytes, at, kind > 1);
  const stop = body + (kind === 0 ? count : kind === 1 ? 1 : stored);
  if (count > MOST_BLOCK || stop > end) damaged('more literals than a block holds');
  literals.count = count;
  if (kind === 0) literals.bytes.set(bytes.subarray(body, stop));
  else if (kind === 1) literals.bytes.fill(bytes[body]!, 0, count);
  else {
    let start = body;
    if (kind === 2) ({ table: literals.table, end: start } = readHuffmanTable(bytes, body, stop));
    const table = literals.table ?? damaged('literals without codes');
    if (streams === 4) readFour(table, bytes, start, stop, literals);
    else readHuffman(table, bytes, { start, end: stop }, literals.bytes, 0, count);
  }
  return stop;
};
