import type { ByteSource } from '../plane/bytes.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import { readFitsFacts } from './fits/head.ts';
import { isTiff } from './open.ts';
import { readTiffFacts } from './tiff/head.ts';

/**
 * What the header of a picture says, whatever its format, without a look at its pixels.
 * @throws LinewashError 'format' for anything that is not a readable FITS or TIFF picture.
 */
export const readPictureFacts = async (source: ByteSource): Promise<HeaderFacts> =>
  (await isTiff(source)) ? readTiffFacts(source) : readFitsFacts(source);
