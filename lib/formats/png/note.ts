import { type ByteSource, checkRange } from '../../plane/bytes.ts';
import { formatError, type LinewashError } from '../../plane/errors.ts';
import { crc32 } from '../crc32.ts';
import { SIGNATURE } from './chunk.ts';
import { NOTE_KEYWORD } from './write.ts';
import { inflateZlib } from './zlib.ts';

/** Longest note that is read, in bytes; longer chunks are passed over. */
const MOST_NOTE = 1 << 24;
/** Bytes of all chunks that are read, and their number: far beyond any picture. */
const MOST_READ = 1 << 26;
const MOST_CHUNKS = 1_000_000;

const damaged = (name: string, what: string): LinewashError =>
  formatError(name, `the PNG is damaged: ${what}`, 'copy the picture again, or use another copy');

const startsWith = (data: Uint8Array, text: string): boolean => {
  for (let i = 0; i < text.length; i++) if (data[i] !== text.charCodeAt(i)) return false;
  return true;
};

/**
 * The text of an iTXt chunk of ours (PNG 3rd edition §11.3.3.4): keyword, NUL, whether it is compressed and how, language,
 * NUL, translated keyword, NUL, UTF-8. Programs that write a picture anew may compress it; undefined for those of others.
 */
const textOf = (name: string, data: Uint8Array): string | undefined => {
  if (!startsWith(data, `${NOTE_KEYWORD}\0`)) return undefined;
  const flags = NOTE_KEYWORD.length + 1;
  const language = data.indexOf(0, flags + 2);
  const start = language < 0 ? 0 : data.indexOf(0, language + 1) + 1;
  if (start === 0) throw damaged(name, 'its note ends before its text begins');
  const stored = data.subarray(start);
  if (data[flags] === 0) return decoder.decode(stored);
  if (data[flags] !== 1 || data[flags + 1] !== 0) throw damaged(name, 'its note is compressed in an unknown way');
  const text = inflateZlib(stored, MOST_NOTE);
  if (typeof text === 'string') throw damaged(name, `its compressed note cannot be read: ${text}`);
  return decoder.decode(text);
};

const decoder = new TextDecoder('utf-8', { ignoreBOM: true });

/** The data of a chunk whose checksum fits. */
const readChunk = async (source: ByteSource, at: number, length: number, type: string): Promise<Uint8Array> => {
  const bytes = await source.read(at + 4, length + 8);
  const sum = new DataView(bytes.buffer, bytes.byteOffset).getUint32(length + 4);
  if (sum !== crc32(bytes.subarray(0, length + 4)))
    throw damaged(
      source.name,
      `the checksum of its ${/^[A-Za-z]{4}$/.test(type) ? type : 'unknown'} chunk does not match`,
    );
  return bytes.subarray(4, length + 4);
};

/**
 * The note that a picture written by linewash carries (iTXt, keyword "linewash"), exactly as written; undefined where
 * there is none. Pixels are not read; of every other chunk up to the note the CRC is checked.
 * @throws LinewashError 'format' where the file is no PNG, a chunk leaves it or does not fit its CRC, or the note inflates
 * to more than 16 MiB.
 */
export const readPngNote = async (source: ByteSource): Promise<string | undefined> => {
  const { name, size } = source;
  const signature = size < 8 ? new Uint8Array(0) : await source.read(0, 8);
  if (!SIGNATURE.every((byte, i) => signature[i] === byte)) throw formatError(name, 'this is not a PNG file');
  let left = MOST_READ;
  for (let at = 8, n = 0; at < size && n < MOST_CHUNKS; n++) {
    checkRange(name, size, at, 12);
    const head = await source.read(at, 8);
    const length = new DataView(head.buffer, head.byteOffset).getUint32(0);
    const type = String.fromCharCode(...head.subarray(4, 8));
    checkRange(name, size, at + 8, length + 4);
    if (type !== 'IDAT' && length <= MOST_NOTE) {
      left -= length;
      if (left < 0) throw formatError(name, 'it holds more text and profiles than any picture needs');
      const data = await readChunk(source, at, length, type);
      if (type === 'IEND') return undefined;
      const text = type === 'iTXt' ? textOf(name, data) : undefined;
      if (text !== undefined) return text;
    }
    at += length + 12;
  }
  return undefined;
};
