import { LinewashError } from '../../plane/errors.ts';
import type { ByteStream, Pieces } from './stream.ts';

/**
 * Deflate in its zlib form (RFC 1950), through the platform's own stream. Stored bytes are read and inflated only as far
 * as is asked for, so a strip that would inflate to more than its pixels costs nothing.
 */
export const inflateStream = (pieces: Pieces): ByteStream => {
  const stream = new DecompressionStream('deflate');
  const reader = stream.readable.getReader();
  const writer = stream.writable.getWriter();
  let piece: Uint8Array = new Uint8Array(0);
  let at = 0;
  let fed = false;
  /** Settles when the stream has dealt with the piece before; `ready` would let a whole file through in Node. */
  let accepted: Promise<void> = Promise.resolve();

  /** Executor on one more piece of stored bytes. */
  const feed = async (): Promise<void> => {
    const next = await pieces.next();
    fed = next === undefined;
    accepted = next === undefined ? writer.close() : writer.write(next as Uint8Array<ArrayBuffer>);
    // A failure comes out of the reader too, and there it is awaited.
    accepted.catch(() => {});
  };

  /** The next inflated bytes. The source is read within this call only, never behind its back. */
  const pull = async (): Promise<Uint8Array | undefined> => {
    const output = reader.read();
    for (;;) {
      const first = fed ? await output : await Promise.race([output, accepted]);
      if (first !== undefined) return first.value;
      await feed();
    }
  };

  const refill = async (): Promise<void> => {
    const next = await pull().catch((error: unknown) => {
      if (error instanceof LinewashError) throw error;
      throw pieces.fault(`holds a damaged deflate stream (${(error as Error).message})`);
    });
    if (next === undefined) throw pieces.fault('ends early');
    piece = next;
    at = 0;
  };

  return {
    async fill(into) {
      for (let filled = 0; filled < into.length; ) {
        if (at === piece.length) await refill();
        const length = Math.min(piece.length - at, into.length - filled);
        into.set(piece.subarray(at, at + length), filled);
        at += length;
        filled += length;
      }
    },
    close() {
      reader.cancel().catch(() => {});
    },
  };
};
