import { type FileSink, fileSink } from './file-sink.ts';

/**
 * Writes a file: it is there, whole, when `write` has ended well, and as it was before where anything goes wrong.
 * @param force whether a file of this name is replaced
 * @throws LinewashError 'output', and whatever `write` throws
 */
export const writeWhole = async <T>(
  file: string,
  force: boolean,
  write: (sink: FileSink) => Promise<T>,
): Promise<T> => {
  const sink = await fileSink(file, force);
  let result: T;
  try {
    result = await write(sink);
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  await sink.close();
  return result;
};
