import type { ByteSource } from '../../plane/bytes.ts';
import type { HeaderFacts } from '../../plane/facts.ts';
import type { FitsBytes } from './bytes.ts';
import { readFacts } from './facts.ts';
import { MAX_RATIO } from './gzip-stream.ts';
import { BLOCK_BYTES } from './header.ts';
import { checkLength, openBytes } from './open.ts';
import { type Chosen, choosePicture } from './select.ts';

/** Headers are short: inside gzip no more than this is inflated beyond one. */
const STEP = 1 << 14;

/**
 * What the header of a FITS file says, without a look at its pixels: those of the picture that `openFits` would open.
 * @throws LinewashError 'format' as `openFits` does; a gzip file that is cut is told by its last bytes (see `isWhole`).
 */
export const readFitsFacts = async (source: ByteSource): Promise<HeaderFacts> => {
  const bytes = await openBytes(source, undefined, STEP);
  const chosen = await choosePicture(bytes, {});
  if (!(await isWhole(source, bytes, chosen))) await checkLength(bytes, chosen);
  return readFacts(chosen.hdu.header, chosen.primary.header);
};

/**
 * True where a gzip file ends in a plausible length of a FITS file that holds the picture: whole blocks, not less than
 * promised. Of files that are cut, whose last bytes are anything, fewer than one in a thousand passes; what does not
 * pass is inflated to be sure.
 * Source: RFC 1952, 2.3.1 (ISIZE).
 */
const isWhole = async (source: ByteSource, bytes: FitsBytes, { hdu }: Chosen): Promise<boolean> => {
  if (!bytes.inflated || source.size < 18) return false;
  const tail = await source.read(source.size - 4, 4);
  const length = new DataView(tail.buffer, tail.byteOffset, 4).getUint32(0, true);
  const promised = hdu.dataOffset + hdu.dataBytes;
  return length % BLOCK_BYTES === 0 && length >= promised && length <= source.size * MAX_RATIO;
};
