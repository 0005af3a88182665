import { close, fstat, open, read } from 'node:fs';
import { promisify } from 'node:util';
import { type ByteSource, checkRange } from '../../plane/bytes.ts';
import { inputError } from '../../plane/errors.ts';
import { reasonOf } from '../files/reason.ts';

/** Holds most headers; what lies beyond is read when it is asked for. */
const HEAD = 4 * 2880;

// Thousands of files are opened one after the other: handles as objects would cost three times as much.
const [openFile, factsOf, readFile, closeFile] = [promisify(open), promisify(fstat), promisify(read), promisify(close)];

/**
 * Opens a file whose first bytes are most likely all that is read of it, for as long as `use` takes.
 * @param buffer of `headBuffer`, which nobody else uses meanwhile
 * @throws LinewashError 'input' where the file cannot be read
 */
export const withHead = async <T>(
  path: string,
  buffer: Buffer,
  use: (source: ByteSource) => Promise<T>,
): Promise<T> => {
  const file = await openFile(path, 'r').catch((cause) => {
    throw inputError(`cannot be opened: ${reasonOf(cause)}`, undefined, path);
  });
  try {
    const { size } = await factsOf(file);
    const head = await readInto(file, buffer.subarray(0, Math.min(HEAD, size)), 0);
    return await use({
      name: path,
      size,
      async read(offset, length) {
        if (offset + length <= head.length) return head.subarray(offset, offset + length);
        checkRange(path, size, offset, length);
        const bytes = await readInto(file, Buffer.allocUnsafe(length), offset);
        if (bytes.length < length) checkRange(path, offset + bytes.length, offset, length);
        return bytes;
      },
    });
  } finally {
    await closeFile(file);
  }
};

export const headBuffer = (): Buffer => Buffer.allocUnsafeSlow(HEAD);

/** Fewer bytes than asked for where the file ends before. */
const readInto = async (file: number, bytes: Buffer, offset: number): Promise<Buffer> => {
  for (let done = 0; done < bytes.length; ) {
    const { bytesRead } = await readFile(file, bytes, done, bytes.length - done, offset + done);
    if (bytesRead === 0) return bytes.subarray(0, done);
    done += bytesRead;
  }
  return bytes;
};
