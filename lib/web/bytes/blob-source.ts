import { type ByteSource, checkRange } from '../../plane/bytes.ts';
import { formatError } from '../../plane/errors.ts';

/** Bytes fetched at a time where a file is read from one end to the other: a call costs as much as a megabyte. */
const BLOCK = 8 << 20;

/**
 * A file that the user chose, or any other Blob, as a byte source. Nothing is read before it is asked for; what is read
 * step by step, in either direction, is fetched in larger blocks.
 * @throws LinewashError 'format' on reading where the file changed or vanished since it was chosen.
 */
export const blobSource = (name: string, blob: Blob): ByteSource => {
  let block = new Uint8Array(0);
  let start = 0;
  let last = { from: 0, to: 0 };
  const fetchBytes = async (from: number, to: number): Promise<Uint8Array<ArrayBuffer>> => {
    try {
      return new Uint8Array(await blob.slice(from, to).arrayBuffer());
    } catch {
      throw formatError(name, 'the file can no longer be read: it was changed or moved', 'open it again');
    }
  };
  return {
    name,
    size: blob.size,
    async read(offset, length) {
      checkRange(name, blob.size, offset, length);
      const end = offset + length;
      const [forward, backward] = [offset === last.to, end === last.from];
      last = { from: offset, to: end };
      if (offset < start || end > start + block.length) {
        const from = backward ? Math.max(0, Math.min(offset, end - BLOCK)) : offset;
        const to = forward ? Math.min(blob.size, Math.max(end, offset + BLOCK)) : end;
        const fetched = await fetchBytes(from, to);
        // Another read may have replaced the block meanwhile: this one looks only at what it fetched itself.
        block = fetched;
        start = from;
        return fetched.subarray(offset - from, end - from);
      }
      return block.subarray(offset - start, end - start);
    },
  };
};
