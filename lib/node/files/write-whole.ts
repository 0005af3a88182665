import { fillSink } from '../../plane/bytes.ts';
import { type FileSink, fileSink } from './file-sink.ts';

/**
 * Writes a file: it is there, whole, when `write` has ended well, and as it was before where anything goes wrong.
 * @param force whether a file of this name is replaced
 * @throws LinewashError 'output', and whatever `write` throws
 */
export const writeWhole = async <T>(file: string, force: boolean, write: (sink: FileSink) => Promise<T>): Promise<T> =>
  fillSink(await fileSink(file, force), write);

/** Writes bytes, or a text in UTF-8, as `writeWhole` does. */
export const writeContent = (file: string, force: boolean, content: Uint8Array | string): Promise<void> =>
  writeWhole(file, force, (sink) =>
    sink.writeAt(0, typeof content === 'string' ? new TextEncoder().encode(content) : content),
  );
