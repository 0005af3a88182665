import { closeSync, fstatSync, readSync } from 'node:fs';
import { checkRange } from '../../plane/bytes.ts';
import type { FileSource } from './file-source.ts';
import { openToRead } from './open-sync.ts';

/**
 * A file as a byte source whose reads block the thread: for threads that do nothing else.
 * @param name the file as the user named it
 * @throws LinewashError 'input' where it cannot be opened any more
 */
export const syncSource = (path: string, name: string): FileSource => {
  const handle = openToRead(path, name);
  const { size } = fstatSync(handle);
  return {
    name,
    path,
    size,
    async read(offset, length) {
      checkRange(name, size, offset, length);
      const bytes = Buffer.allocUnsafeSlow(length);
      for (let done = 0; done < length; ) {
        const count = readSync(handle, bytes, done, length - done, offset + done);
        if (count === 0) checkRange(name, offset + done, offset, length);
        done += count;
      }
      return bytes;
    },
    async close() {
      closeSync(handle);
    },
  };
};
