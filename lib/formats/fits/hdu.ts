import { formatError } from '../../plane/errors.ts';
import type { FitsBytes } from './bytes.ts';
import { absence, BLOCK_BYTES, countOf, EXPORT_AGAIN, type Header, readHeader, stringOf } from './header.ts';
import { STORED_TYPE } from './scaling.ts';

/** One header and data unit. Sizes are as the header promises; nobody has looked yet whether the bytes are there. */
export interface Hdu {
  /** 0 is the primary HDU. */
  readonly index: number;
  /** EXTNAME, '' for none. */
  readonly name: string;
  /** 'tiles' is an image compressed into a binary table. */
  readonly kind: 'image' | 'tiles' | 'table' | 'groups' | 'other';
  readonly bitpix: number;
  /** Pixels along each axis, fastest first; for 'tiles' of the image, not of the table. */
  readonly axes: readonly number[];
  readonly header: Header;
  /** Byte offset of the header. */
  readonly start: number;
  readonly dataOffset: number;
  readonly dataBytes: number;
}

/** Real files hold at most hundreds of extensions; the bound keeps a chain of empty ones from taking minutes. */
export const MAX_HDUS = 2000;

/**
 * The HDUs of a file one after the other; each is parsed only when asked for.
 * Bytes after the last HDU that are no extension end the sequence without an error, as the standard allows.
 * @throws LinewashError 'format' for a broken header.
 */
export async function* readHdus(bytes: FitsBytes): AsyncGenerator<Hdu> {
  let offset = 0;
  for (let index = 0; index < MAX_HDUS; index++) {
    if (index > 0 && !(await startsWith(bytes, offset, 'XTENSION'))) return;
    const hdu = parseHdu(bytes.name, { index, start: offset, header: await readHeader(bytes, offset) });
    yield hdu;
    offset = hdu.dataOffset + Math.ceil(hdu.dataBytes / BLOCK_BYTES) * BLOCK_BYTES;
  }
}

/** Whether the bytes at `offset` spell `word`; false where the file ends before. */
export const startsWith = async (bytes: FitsBytes, offset: number, word: string): Promise<boolean> => {
  if ((await bytes.available(offset, word.length)) < word.length) return false;
  const found = await bytes.read(offset, word.length);
  return [...word].every((letter, i) => found[i] === letter.charCodeAt(0));
};

const parseHdu = (file: string, at: Pick<Hdu, 'index' | 'start' | 'header'>): Hdu => {
  const { index, header } = at;
  const bitpix = bitpixOf(file, header, 'BITPIX');
  const axes = axesOf(file, header, 'NAXIS');
  const groups = axes[0] === 0 && header.byKeyword.get('GROUPS')?.value === true;
  const pixels = productOf(file, groups ? axes.slice(1) : axes);
  const counted = index === 0 && !groups;
  const perGroup = pixels + (counted ? 0 : countOf(file, header, 'PCOUNT', 0));
  const dataBytes = (Math.abs(bitpix) / 8) * perGroup * (counted ? 1 : countOf(file, header, 'GCOUNT', 1));
  if (!Number.isSafeInteger(header.end + dataBytes)) throw tooLarge(file);
  const name = stringOf(header, 'EXTNAME')?.trim() ?? '';
  const place = { ...at, name, dataOffset: header.end, dataBytes };
  const kind = groups ? 'groups' : kindOf(index, header);
  if (kind !== 'tiles') return { ...place, kind, bitpix, axes };
  return { ...place, kind, bitpix: bitpixOf(file, header, 'ZBITPIX'), axes: axesOf(file, header, 'ZNAXIS') };
};

const kindOf = (index: number, header: Header): Hdu['kind'] => {
  if (index === 0) return 'image';
  switch (stringOf(header, 'XTENSION')?.trim()) {
    case 'IMAGE':
      return 'image';
    case 'BINTABLE':
      return header.byKeyword.get('ZIMAGE')?.value === true ? 'tiles' : 'table';
    case 'TABLE':
      return 'table';
    default:
      return 'other';
  }
};

const bitpixOf = (file: string, header: Header, keyword: string): number => {
  const card = header.byKeyword.get(keyword);
  const bitpix = card?.value;
  if (typeof bitpix === 'number' && STORED_TYPE[bitpix]) return bitpix;
  const found =
    card?.value === undefined
      ? absence(header, keyword)
      : `reads "${card.text.slice(0, 20)}"; it must be 8, 16, 32, 64, -32 or -64`;
  throw formatError(file, `the header is wrong: ${keyword} ${found}`, EXPORT_AGAIN);
};

const axesOf = (file: string, header: Header, keyword: string): number[] => {
  const count = countOf(file, header, keyword);
  if (count > 999)
    throw formatError(file, `the header is wrong: ${keyword} is ${count}, at most 999 are allowed`, EXPORT_AGAIN);
  return Array.from({ length: count }, (_, i) => countOf(file, header, `${keyword}${i + 1}`));
};

const productOf = (file: string, axes: readonly number[]): number => {
  if (axes.length === 0) return 0;
  const pixels = axes.reduce((product, length) => product * length, 1);
  if (!Number.isSafeInteger(pixels)) throw tooLarge(file);
  return pixels;
};

const tooLarge = (file: string) =>
  formatError(
    file,
    'the header promises more data than any file can hold',
    'the header is damaged: export the file again',
  );
