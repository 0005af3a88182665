import { type ByteSource, checkRange } from '../../plane/bytes.ts';
import { formatError } from '../../plane/errors.ts';
import { SIGNATURE } from './chunk.ts';
import { NOTE_KEYWORD } from './write.ts';

/** Longest note that is read, in bytes. */
const MOST_NOTE = 1 << 24;
const MOST_CHUNKS = 1_000_000;

/** The text of an iTXt chunk of ours: keyword, four NULs (uncompressed, no language, no translation), UTF-8. */
const textOf = (data: Uint8Array): string | undefined => {
  const head = `${NOTE_KEYWORD}\0\0\0\0\0`;
  if (data.length < head.length) return undefined;
  for (let i = 0; i < head.length; i++) if (data[i] !== head.charCodeAt(i)) return undefined;
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(data.subarray(head.length));
};

/**
 * The note that a picture written by linewash carries (iTXt, keyword "linewash"), exactly as written; undefined where
 * there is none. Chunks are walked by their lengths; pixels are not read.
 * @throws LinewashError 'format' where the file is no PNG or a chunk leaves it.
 */
export const readPngNote = async (source: ByteSource): Promise<string | undefined> => {
  const { name, size } = source;
  const signature = size < 8 ? new Uint8Array(0) : await source.read(0, 8);
  if (!SIGNATURE.every((byte, i) => signature[i] === byte)) throw formatError(name, 'this is not a PNG file');
  for (let at = 8, n = 0; at < size && n < MOST_CHUNKS; n++) {
    checkRange(name, size, at, 12);
    const head = await source.read(at, 8);
    const length = new DataView(head.buffer, head.byteOffset).getUint32(0);
    const type = String.fromCharCode(...head.subarray(4, 8));
    checkRange(name, size, at + 8, length + 4);
    if (type === 'IEND') return undefined;
    if (type === 'iTXt' && length <= MOST_NOTE) {
      const text = textOf(await source.read(at + 8, length));
      if (text !== undefined) return text;
    }
    at += length + 12;
  }
  return undefined;
};
