import { rmdir } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { fillSink } from '../../plane/bytes.ts';
import { type FileSink, fileSink, makeFolder } from './file-sink.ts';

/** Makes the folder of a file; takes away again what it made where `write` fails. */
const inFolder = async <T>(file: string, write: () => Promise<T>): Promise<T> => {
  const first = await makeFolder(dirname(file));
  try {
    return await write();
  } catch (cause) {
    if (first !== undefined) await removeEmpty(resolve(dirname(file)), first);
    throw cause;
  }
};

/** From a folder up to one above it, as long as nothing lies in them. */
const removeEmpty = async (folder: string, upTo: string): Promise<void> => {
  for (let path = folder; path.startsWith(upTo); path = dirname(path))
    if (
      await rmdir(path).then(
        () => false,
        () => true,
      )
    )
      return;
};

/**
 * Writes a file, in a folder that is made where there is none: it is there, whole, when `write` has ended well, and as it was before where anything goes wrong.
 * @param force whether a file of this name is replaced
 * @throws LinewashError 'output', and whatever `write` throws
 */
export const writeWhole = async <T>(file: string, force: boolean, write: (sink: FileSink) => Promise<T>): Promise<T> =>
  inFolder(file, async () => fillSink(await fileSink(file, force), write));

/** Writes bytes, or a text in UTF-8, as `writeWhole` does. */
export const writeContent = (file: string, force: boolean, content: Uint8Array | string): Promise<void> =>
  writeWhole(file, force, (sink) =>
    sink.writeAt(0, typeof content === 'string' ? new TextEncoder().encode(content) : content),
  );
