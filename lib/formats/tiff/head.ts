import type { ByteSource } from '../../plane/bytes.ts';
import type { HeaderFacts } from '../../plane/facts.ts';
import { readDirectories } from './directory.ts';
import { readFacts } from './facts.ts';
import { choosePage } from './pages.ts';

/**
 * What the tags of a TIFF file say, without a look at its pixels: those of the page that `openTiff` would open.
 * @throws LinewashError 'format' where the file has no readable directory.
 */
export const readTiffFacts = async (source: ByteSource): Promise<HeaderFacts> => {
  const { file, pages } = await readDirectories(source);
  return readFacts(file, (await choosePage(file, pages, undefined)).directory);
};
