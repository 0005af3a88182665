import type { ByteSource } from '../../plane/bytes.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { blobSource } from './blob-source.ts';

/** What a name says beyond that of its file: a picture of several. A bracket in the file's own name chooses nothing. */
const endingOf = (name: string, blob: Blob): string =>
  blob instanceof File && name.startsWith(blob.name) ? name.slice(blob.name.length) : '';

/**
 * Opens a master from its bytes: FITS, by far the most common, without loading what only other formats need.
 * @param name of the file; with an ending such as `[1]` for another picture than the first of a file that holds several
 * @throws LinewashError 'format' for what is no master
 */
export const openSource = async (name: string, blob: Blob): Promise<PlaneSource> => {
  const ending = endingOf(name, blob);
  if (ending !== '') return openPart(blobSource(name.slice(0, -ending.length), blob), ending);
  const bytes = blobSource(name, blob);
  const head = bytes.size < 6 ? '' : String.fromCharCode(...(await bytes.read(0, 6)));
  if (head === 'SIMPLE') return (await import('../../formats/fits/open.ts')).openFits(bytes);
  return (await import('../../formats/open.ts')).openPlane(bytes);
};

const openPart = async (bytes: ByteSource, ending: string): Promise<PlaneSource> => {
  const [{ openPlane }, { splitSelector }] = await Promise.all([
    import('../../formats/open.ts'),
    import('../../formats/selector.ts'),
  ]);
  return openPlane(bytes, splitSelector(bytes.name + ending).selector);
};
