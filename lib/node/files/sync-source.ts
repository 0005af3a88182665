import { closeSync, fstatSync } from 'node:fs';
import { checkRange } from '../../plane/bytes.ts';
import type { FileSource } from './file-source.ts';
import { openToRead } from './open-sync.ts';
import { readFully } from './read-fully.ts';

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
      const count = readFully(handle, offset, bytes);
      if (count < length) checkRange(name, offset + count, offset, length);
      return bytes;
    },
    async close() {
      closeSync(handle);
    },
  };
};
