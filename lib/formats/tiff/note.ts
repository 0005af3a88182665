import type { ByteSource } from '../../plane/bytes.ts';
import { readDirectories } from './directory.ts';
import { TAG } from './tags.ts';
import { readText } from './values.ts';

/** Notes longer than this are not notes. */
const MOST_NOTE = 1 << 24;

/**
 * The text of the first page's ImageDescription (tag 270) without its closing NUL, exactly as written; undefined where
 * there is none. Up to 16 MiB.
 * @throws LinewashError 'format' where the file is no TIFF or its directory is damaged.
 */
export const readTiffNote = async (source: ByteSource): Promise<string | undefined> => {
  const { file, pages } = await readDirectories(source);
  const entry = pages[0]!.directory.get(TAG.ImageDescription);
  if (entry === undefined) return undefined;
  const text = await readText(file, entry, MOST_NOTE);
  return text === '' ? undefined : text;
};
