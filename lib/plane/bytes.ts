import { formatError } from './errors.ts';

/** Bytes that can be read at random: a file handle, a Blob or memory behind one small interface. */
export interface ByteSource {
  /** The name the user knows it by; appears in messages. */
  readonly name: string;
  /** Length in bytes. */
  readonly size: number;
  /**
   * Exactly `length` bytes from `offset`.
   * The result may be a view of a shared buffer: read it before the next call, never write to it.
   * @throws LinewashError 'format' where the range leaves the source or the file became shorter meanwhile.
   */
  read(offset: number, length: number): Promise<Uint8Array>;
}

/** Where written bytes go. Positions may be written in any order; nothing is visible to others before `close`. */
export interface ByteSink {
  /** Writes all of `bytes` at `offset`, however often the system writes less than asked. */
  writeAt(offset: number, bytes: Uint8Array): Promise<void>;
  /** Makes the result visible under its final name. */
  close(): Promise<void>;
  /** Drops everything written so far. Never throws. */
  abort(): Promise<void>;
}

/**
 * Closes a sink when it is filled; where filling or closing fails, drops all that was written and throws what went wrong.
 * @returns what `fill` gives
 */
export const fillSink = async <S extends ByteSink, T>(sink: S, fill: (sink: S) => Promise<T>): Promise<T> => {
  try {
    const result = await fill(sink);
    await sink.close();
    return result;
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
};

/** A source over bytes in memory. */
export const memorySource = (name: string, bytes: Uint8Array): ByteSource => ({
  name,
  size: bytes.byteLength,
  async read(offset, length) {
    checkRange(name, bytes.byteLength, offset, length);
    return bytes.subarray(offset, offset + length);
  },
});

/** @throws LinewashError 'format' unless [offset, offset + length) lies within `size`. */
export const checkRange = (name: string, size: number, offset: number, length: number): void => {
  if (!(offset >= 0 && length >= 0 && offset + length <= size))
    throw formatError(
      name,
      `the file ends early: bytes ${offset} to ${offset + length} are needed, it has ${size}`,
      'copy or export the file again',
    );
};

/** A sink that collects into memory; `bytes()` is the result after `close`. */
export interface MemorySink extends ByteSink {
  /** All that was written. */
  bytes(): Uint8Array<ArrayBuffer>;
}

/** A sink over a growing buffer, for tests, small pictures and the browser. */
export const memorySink = (): MemorySink => {
  let buffer = new Uint8Array(1 << 16);
  let end = 0;
  return {
    async writeAt(offset, bytes) {
      const need = offset + bytes.byteLength;
      if (need > buffer.byteLength) {
        const grown = new Uint8Array(Math.max(need, buffer.byteLength * 2));
        grown.set(buffer.subarray(0, end));
        buffer = grown;
      }
      buffer.set(bytes, offset);
      end = Math.max(end, need);
    },
    async close() {},
    async abort() {
      buffer = new Uint8Array(0);
      end = 0;
    },
    bytes: () => buffer.slice(0, end),
  };
};
