import { readFitsNote } from '../../formats/fits/note.ts';
import { readJpegNote } from '../../formats/jpeg/note.ts';
import { readPngNote } from '../../formats/png/note.ts';
import { readTiffNote } from '../../formats/tiff/note.ts';
import type { ByteSource } from '../../plane/bytes.ts';
import { inputError, LinewashError } from '../../plane/errors.ts';
import { parseNote } from '../share/note.ts';
import { loadRecipe } from './parse.ts';
import type { WrittenRecipe } from './schema.ts';

/** Longest recipe file in bytes: a million characters of UTF-8. */
const MAX_BYTES = 4 << 20;

type Note = (source: ByteSource) => Promise<string | undefined>;

/** How each format that can carry a note begins, in hexadecimal. */
const FORMATS: readonly (readonly [start: string, read: Note])[] = [
  ['53494d504c4520203d', readFitsNote],
  ['89504e470d0a1a0a', readPngNote],
  ['ffd8ff', readJpegNote],
  ['49492a00', readTiffNote],
  ['49492b00', readTiffNote],
  ['4d4d002a', readTiffNote],
  ['4d4d002b', readTiffNote],
];

const readerOf = async (source: ByteSource): Promise<Note | undefined> => {
  const bytes = await source.read(0, Math.min(16, source.size));
  const head = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return FORMATS.find(([start]) => head.startsWith(start))?.[1];
};

/**
 * The note that a picture carries; undefined where the bytes are no picture.
 * @throws LinewashError 'input' for a picture without a note, 'format' for a damaged one.
 */
export const pictureNote = async (source: ByteSource): Promise<string | undefined> => {
  const read = await readerOf(source);
  if (read === undefined) return undefined;
  const note = await read(source);
  if (note?.trimStart().startsWith('{')) return note;
  throw inputError(
    'this picture contains no recipe',
    'name a picture that linewash wrote, or a recipe file',
    source.name,
  );
};

/** Formats that masters never come in: what is wrong with such a file shows nowhere but here. */
const NO_MASTERS: readonly (Note | undefined)[] = [readPngNote, readJpegNote];

/**
 * Whether a file is a picture that carries a recipe of linewash, or a damaged one that may: a PNG or JPEG is nothing else,
 * while what is wrong with a TIFF or FITS shows when it is opened as a master. Other programs keep texts of their own.
 */
export const claimsRecipe = async (source: ByteSource): Promise<boolean> => {
  try {
    return /^\s*\{\s*"linewash"/.test((await pictureNote(source)) ?? '');
  } catch (cause) {
    const isDamaged = cause instanceof LinewashError && cause.tag === 'format';
    return isDamaged && NO_MASTERS.includes(await readerOf(source));
  }
};

/**
 * The recipe in a file: JSON, or any picture that linewash wrote.
 * @throws LinewashError 'recipe' for a faulty recipe, 'input' for a file that holds none, 'format' for a damaged picture.
 */
export const openRecipe = async (source: ByteSource): Promise<WrittenRecipe> => {
  const note = await pictureNote(source);
  return note === undefined
    ? loadRecipe(await readText(source), source.name)
    : (await parseNote(note, source.name)).recipe;
};

const readText = async (source: ByteSource): Promise<string> => {
  if (source.size > MAX_BYTES) throw inputError('is too long for a recipe', 'name a recipe file', source.name);
  const bytes = await source.read(0, source.size);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw inputError('is not text in UTF-8', 'save the recipe as UTF-8 JSON', source.name);
  }
};
