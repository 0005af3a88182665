import type { ByteStream, Pieces } from './stream.ts';

/**
 * PackBits (TIFF 6.0 §9): a count byte n; 0…127: n + 1 bytes follow as they are; 129…255: the next byte 257 − n times;
 * 128: nothing.
 */
export const packBitsStream = (pieces: Pieces): ByteStream => {
  let piece: Uint8Array = new Uint8Array(0);
  let at = 0;
  let literal = 0;
  let repeat = 0;
  let value = 0;

  /** Makes sure a stored byte is at hand. */
  const refill = async (): Promise<void> => {
    const next = await pieces.next();
    if (next === undefined) throw pieces.fault('ends early');
    piece = next;
    at = 0;
  };

  const readCount = async (): Promise<void> => {
    if (at === piece.length) await refill();
    const n = piece[at++]!;
    if (n < 128) literal = n + 1;
    else if (n > 128) {
      if (at === piece.length) await refill();
      repeat = 257 - n;
      value = piece[at++]!;
    }
  };

  /** Decodes what the piece at hand gives without waiting; returns how far `into` is filled. */
  const run = (into: Uint8Array, from: number): number => {
    let filled = from;
    while (filled < into.length && (repeat > 0 || literal > 0 || at + 1 < piece.length)) {
      if (repeat > 0) {
        const length = Math.min(repeat, into.length - filled);
        into.fill(value, filled, filled + length);
        filled += length;
        repeat -= length;
      } else if (literal > 0) {
        const length = Math.min(literal, into.length - filled, piece.length - at);
        if (length === 0) return filled;
        into.set(piece.subarray(at, at + length), filled);
        filled += length;
        at += length;
        literal -= length;
      } else {
        const n = piece[at++]!;
        if (n < 128) literal = n + 1;
        else if (n > 128) {
          repeat = 257 - n;
          value = piece[at++]!;
        }
      }
    }
    return filled;
  };

  return {
    async fill(into) {
      let filled = 0;
      for (;;) {
        filled = run(into, filled);
        if (filled === into.length) return;
        if (literal > 0) await refill();
        else await readCount();
      }
    },
    close() {},
  };
};
