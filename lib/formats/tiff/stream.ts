import type { ByteSource } from '../../plane/bytes.ts';
import { formatError, type LinewashError } from '../../plane/errors.ts';

/** The stored bytes of one strip or tile, in order, a piece at a time. */
export interface Pieces {
  /** The next piece, the caller's to keep; undefined after the last. */
  next(): Promise<Uint8Array | undefined>;
  /** An error that names the file and the strip or tile. */
  fault(message: string): LinewashError;
}

/** Decoded bytes of one strip or tile, forward only. */
export interface ByteStream {
  /**
   * Fills all of `into` with the next bytes.
   * @throws LinewashError 'format' where the stored bytes are damaged or end early.
   */
  fill(into: Uint8Array): Promise<void>;
  /** Lets go of what the stream holds; never throws. */
  close(): void;
}

const PIECE = 1 << 16;

/** Pieces of `count` bytes of a file from `offset` on; `place` names them in errors, as in "strip 3". */
export const piecesOf = (source: ByteSource, offset: number, count: number, place: string): Pieces => {
  let taken = 0;
  return {
    async next() {
      if (taken === count) return undefined;
      const length = Math.min(PIECE, count - taken);
      // A copy: the source may hand out the same buffer at its next read, which need not be ours.
      const piece = new Uint8Array(await source.read(offset + taken, length));
      taken += length;
      return piece;
    },
    fault: (message) =>
      formatError(source.name, `${place} ${message}`, 'the file is damaged or cut short: copy or export it again'),
  };
};
