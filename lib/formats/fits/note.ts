import type { ByteSource } from '../../plane/bytes.ts';
import { readHeader, stringOf } from './header.ts';
import { openBytes } from './open.ts';

/** The keyword under which a written picture carries its recipe. */
export const NOTE_KEYWORD = 'LINEWASH';

/**
 * The note that `fitsWriter` put into the primary header, byte for byte; undefined where there is none.
 * @throws LinewashError 'format' for what is not FITS.
 */
export const readFitsNote = async (source: ByteSource): Promise<string | undefined> => {
  const bytes = await openBytes(source);
  return stringOf(await readHeader(bytes, 0), NOTE_KEYWORD);
};
