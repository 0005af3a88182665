import { randomBytes } from 'node:crypto';
import { type FileHandle, link, open, rename, unlink } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { ByteSink } from '../plane/bytes.ts';
import { type LinewashError, outputError } from '../plane/errors.ts';
import { reasonOf } from './reason.ts';

/** Temporary files are named so that a later run can recognise and remove its own. */
const TEMPORARY = /^\.(.+)\.[0-9a-f]{12}\.linewash-part$/;

export const isTemporary = (name: string): boolean => TEMPORARY.test(name);

const temporaryFor = (path: string) =>
  join(dirname(path), `.${basename(path).slice(0, 180)}.${randomBytes(6).toString('hex')}.linewash-part`);

const failure = (path: string, cause: unknown): LinewashError =>
  outputError(path, `cannot be written: ${reasonOf(cause)}`, 'check the folder, its permissions and the free space');

/**
 * A file that appears under its final name only when it is whole: bytes go to a temporary file beside it, which is
 * synced and then renamed.
 * @param replace whether an existing file may be replaced; else the existing one is kept and `close` fails.
 * @throws LinewashError 'output' for everything the system refuses.
 */
export const fileSink = async (path: string, replace: boolean): Promise<ByteSink> => {
  const temporary = temporaryFor(path);
  let handle: FileHandle;
  try {
    handle = await open(temporary, 'wx');
  } catch (cause) {
    throw failure(path, cause);
  }
  const abort = async () => {
    await handle.close().catch(() => {});
    await unlink(temporary).catch(() => {});
  };
  return {
    async writeAt(offset, bytes) {
      let done = 0;
      try {
        while (done < bytes.length) {
          const { bytesWritten } = await handle.write(bytes, done, bytes.length - done, offset + done);
          done += bytesWritten;
        }
      } catch (cause) {
        throw failure(path, cause);
      }
    },
    async close() {
      try {
        await handle.sync();
        await handle.close();
        await (replace ? rename(temporary, path) : renameIfFree(temporary, path));
      } catch (cause) {
        await abort();
        throw failure(path, cause);
      }
      await syncFolder(dirname(path));
    },
    abort,
  };
};

/** Renames without ever replacing; file systems without hard links fall back to a rename after the check at start. */
const renameIfFree = async (from: string, to: string): Promise<void> => {
  try {
    await link(from, to);
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'EEXIST') throw cause;
    await rename(from, to);
    return;
  }
  await unlink(from);
};

/** Makes the new name survive a power cut. Not every file system allows it, and the picture is whole either way. */
const syncFolder = async (folder: string): Promise<void> => {
  const handle = await open(folder, 'r').catch(() => undefined);
  await handle?.sync().catch(() => {});
  await handle?.close();
};
