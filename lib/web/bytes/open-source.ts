import type { PlaneSource } from '../../plane/plane.ts';
import { blobSource } from './blob-source.ts';

/**
 * Opens a master from its bytes: FITS, by far the most common, without loading what only other formats need.
 * @throws LinewashError 'format' for what is no master
 */
export const openSource = async (name: string, blob: Blob): Promise<PlaneSource> => {
  const bytes = blobSource(name, blob);
  const head = bytes.size < 6 ? '' : String.fromCharCode(...(await bytes.read(0, 6)));
  if (head === 'SIMPLE') return (await import('../../formats/fits/open.ts')).openFits(bytes);
  return (await import('../../formats/open.ts')).openPlane(bytes);
};
