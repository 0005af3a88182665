import { link, open, rename, unlink } from 'node:fs/promises';
import { dirname } from 'node:path';
import type { ByteSink } from '../../plane/bytes.ts';
import { type LinewashError, outputError } from '../../plane/errors.ts';
import { makeFolders } from './make-folder.ts';
import { nameFault } from './name-fault.ts';
import { reasonOf } from './reason.ts';
import { noteTemporary, sweepOnce, temporaryFor } from './temporary.ts';

/** An open file, as far as a sink needs one. */
export interface SinkHandle {
  write(
    bytes: Uint8Array,
    offset: number,
    length: number,
    position: number,
  ): Promise<{ readonly bytesWritten: number }>;
  sync(): Promise<void>;
  close(): Promise<void>;
}

/** What a sink asks of the system; tests give one that fails. */
export interface SinkSystem {
  open(path: string, flags: 'wx' | 'r'): Promise<SinkHandle>;
  link(from: string, to: string): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  unlink(path: string): Promise<void>;
}

const NODE: SinkSystem = { open, link, rename, unlink };

/** A sink over a file. */
export interface FileSink extends ByteSink {
  /** Where the bytes lie until `close`: other threads may write into it as well. */
  readonly temporary: string;
}

const failure = (path: string, cause: unknown): LinewashError =>
  outputError(path, `cannot be written: ${reasonOf(cause)}`, 'check the folder, its permissions and the free space');

/**
 * A file that appears under its final name only when it is whole: bytes go to a temporary file beside it, which is
 * synced and then renamed, after which the folder is synced. What killed runs left in the folder is removed first.
 * @param replace whether an existing file may be replaced; else the existing one is kept and `close` fails.
 * @throws LinewashError 'output' for everything the system refuses; the temporary file is gone then.
 */
export const fileSink = async (path: string, replace: boolean, system: SinkSystem = NODE): Promise<FileSink> => {
  await sweepOnce(dirname(path));
  const temporary = temporaryFor(path);
  const handle = await system.open(temporary, 'wx').catch((cause) => {
    throw failure(path, cause);
  });
  const noted = noteTemporary(temporary);
  let open = true;
  const abort = async () => {
    if (open) await handle.close().catch(() => {});
    open = false;
    await system.unlink(temporary).catch(() => {});
    noted();
  };
  return {
    temporary,
    async writeAt(offset, bytes) {
      let done = 0;
      try {
        while (done < bytes.length) {
          const { bytesWritten } = await handle.write(bytes, done, bytes.length - done, offset + done);
          if (bytesWritten === 0) throw new Error('the system wrote nothing');
          done += bytesWritten;
        }
      } catch (cause) {
        throw failure(path, cause);
      }
    },
    async close() {
      try {
        await handle.sync();
        open = false;
        await handle.close();
        await (replace ? system.rename(temporary, path) : renameIfFree(temporary, path, system));
        noted();
      } catch (cause) {
        await abort();
        const taken = !replace && (cause as NodeJS.ErrnoException).code === 'EEXIST';
        throw (taken ? await nameFault(path) : undefined) ?? failure(path, cause);
      }
      await syncFolder(dirname(path), system);
    },
    abort,
  };
};

/** Renames without ever replacing; file systems without hard links fall back to a rename after the check at start. */
const renameIfFree = async (from: string, to: string, system: SinkSystem): Promise<void> => {
  try {
    await system.link(from, to);
  } catch (cause) {
    if (!NO_LINKS.includes((cause as NodeJS.ErrnoException).code ?? '')) throw cause;
    await system.rename(from, to);
    return;
  }
  // The picture is whole under its name; a temporary name that stays is swept by the next batch.
  await system.unlink(from).catch(() => {});
};

/** How file systems say that they know no hard links. */
const NO_LINKS: readonly string[] = ['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK', 'EINVAL'];

/** Makes the new name survive a power cut. Not every file system allows it, and the picture is whole either way. */
const syncFolder = async (folder: string, system: SinkSystem): Promise<void> => {
  const handle = await system.open(folder, 'r').catch(() => undefined);
  await handle?.sync().catch(() => {});
  await handle?.close().catch(() => {});
};

/**
 * Makes a folder and those above it where they do not exist; they survive a power cut.
 * @returns the first that was made, undefined for none
 * @throws LinewashError 'output' where the system refuses.
 */
export const makeFolder = async (folder: string): Promise<string | undefined> => {
  try {
    const first = makeFolders(folder);
    if (first !== undefined) await syncFolder(dirname(first), NODE);
    return first;
  } catch (cause) {
    const taken = (cause as NodeJS.ErrnoException).code === 'EEXIST';
    const reason = taken ? 'a file has its name' : reasonOf(cause);
    throw outputError(folder, `cannot be made: ${reason}`, 'choose another folder, or check its permissions');
  }
};
