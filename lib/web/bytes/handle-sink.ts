import type { ByteSink } from '../../plane/bytes.ts';
import { outputError } from '../../plane/errors.ts';

/** The part of the File System Access API that is used: TypeScript's own types lack it in workers. */
export interface WritableHandle {
  readonly name: string;
  createWritable(): Promise<{
    write(command: { type: 'write'; position: number; data: Uint8Array }): Promise<void>;
    close(): Promise<void>;
    abort(): Promise<void>;
  }>;
}

/**
 * A file on the user's disk that the browser let us write. The browser writes beside the file and replaces it on
 * `close`, so a cancelled picture leaves nothing behind.
 * @throws LinewashError 'output' for everything the system refuses.
 */
export const handleSink = async (handle: WritableHandle): Promise<ByteSink> => {
  const guarded = async <T>(step: Promise<T>): Promise<T> => {
    try {
      return await step;
    } catch (cause) {
      const reason = cause instanceof Error ? cause.message : String(cause);
      throw outputError(handle.name, `cannot be written: ${reason}`, 'check the free space, or choose another place');
    }
  };
  const stream = await guarded(handle.createWritable());
  return {
    writeAt: (position, data) => guarded(stream.write({ type: 'write', position, data })),
    close: () => guarded(stream.close()),
    abort: () => stream.abort().catch(() => {}),
  };
};
