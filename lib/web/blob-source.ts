import { type ByteSource, checkRange } from '../plane/bytes.ts';
import { formatError } from '../plane/errors.ts';

/**
 * A file that the user chose, or any other Blob, as a byte source. Nothing is read before it is asked for.
 * @throws LinewashError 'format' on reading where the file changed or vanished since it was chosen.
 */
export const blobSource = (name: string, blob: Blob): ByteSource => ({
  name,
  size: blob.size,
  async read(offset, length) {
    checkRange(name, blob.size, offset, length);
    try {
      return new Uint8Array(await blob.slice(offset, offset + length).arrayBuffer());
    } catch {
      throw formatError(name, 'the file can no longer be read: it was changed or moved', 'open it again');
    }
  },
});
