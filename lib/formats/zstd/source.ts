import type { Pieces } from '../tiff/stream.ts';

/** Stored bytes in the lengths that a decoder asks for. */
export interface Stored {
  /** Fills `into[0, length)`; false where the bytes end before. */
  take(into: Uint8Array, length: number): Promise<boolean>;
}

/** Bytes across the edges of pieces. */
export const storedBytes = (pieces: Pick<Pieces, 'next'>): Stored => {
  let piece: Uint8Array = new Uint8Array(0);
  let at = 0;
  return {
    async take(into, length) {
      for (let filled = 0; filled < length; ) {
        if (at === piece.length) {
          const next = await pieces.next();
          if (next === undefined) return false;
          piece = next;
          at = 0;
        }
        const part = Math.min(piece.length - at, length - filled);
        into.set(piece.subarray(at, at + part), filled);
        at += part;
        filled += part;
      }
      return true;
    },
  };
};
