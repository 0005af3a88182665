import { type FileHandle, open } from 'node:fs/promises';
import { type ByteSource, checkRange } from '../../plane/bytes.ts';
import { inputError } from '../../plane/errors.ts';
import { reasonOf } from './reason.ts';

export interface FileSource extends ByteSource {
  /** The path on disk, which `name` may differ from. */
  readonly path: string;
  /** Lets go of the file; further reads fail. */
  close(): Promise<void>;
}

/**
 * A file as a byte source. Reads go to a buffer that the next read reuses, unless reads were ever under way at the same time:
 * from then on each has a buffer of its own.
 * @throws LinewashError 'input' where the file cannot be opened or is not a regular file.
 */
export const openFile = async (path: string, name = path): Promise<FileSource> => {
  let handle: FileHandle;
  try {
    handle = await open(path, 'r');
  } catch (cause) {
    throw inputError(`cannot be opened: ${reasonOf(cause)}`, 'check the name and the folder', name);
  }
  const facts = await handle.stat().catch(() => undefined);
  if (!facts?.isFile()) {
    await handle.close();
    throw inputError('is not a file', 'name a FITS or TIFF master', name);
  }
  let buffer = Buffer.allocUnsafeSlow(1 << 16);
  let underWay = 0;
  let shared = false;
  const bufferFor = (length: number): Buffer => {
    shared ||= underWay > 1;
    if (shared) return Buffer.allocUnsafeSlow(length);
    if (buffer.length < length) buffer = Buffer.allocUnsafeSlow(length);
    return buffer;
  };
  return {
    name,
    path,
    size: facts.size,
    async read(offset, length) {
      checkRange(name, facts.size, offset, length);
      underWay++;
      try {
        const own = bufferFor(length);
        for (let done = 0; done < length; ) {
          const { bytesRead } = await handle.read(own, done, length - done, offset + done);
          if (bytesRead === 0) checkRange(name, offset + done, offset, length);
          done += bytesRead;
        }
        return own.subarray(0, length);
      } finally {
        underWay--;
      }
    },
    close: () => handle.close(),
  };
};
