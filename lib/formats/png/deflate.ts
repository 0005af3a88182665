/** A running compression: bytes in, zlib stream out. */
export interface Deflate {
  /** Resolves when the bytes were taken; they must not be changed afterwards. */
  write(bytes: Uint8Array): Promise<void>;
  /** Resolves when the last compressed byte was handed on. */
  finish(): Promise<void>;
}

/** Compressed bytes are handed on in pieces of this size, so that the cuts are the same on every platform. */
const PIECE = 1 << 16;

/**
 * Compresses with the platform's own deflate stream (zlib format, RFC 1950) and hands the result on, one piece at a
 * time and in order; a piece is the receiver's until its promise settles. A failure of `emit` comes out of the next
 * `write` or of `finish`.
 */
export const deflateInto = (emit: (piece: Uint8Array) => Promise<void>): Deflate => {
  const stream = new CompressionStream('deflate');
  const writer = stream.writable.getWriter();
  const reader = stream.readable.getReader();
  let failure: { readonly error: unknown } | undefined;

  const pump = async (): Promise<void> => {
    const piece = new Uint8Array(PIECE);
    let filled = 0;
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      for (let at = 0; at < value.length; ) {
        const length = Math.min(value.length - at, PIECE - filled);
        piece.set(value.subarray(at, at + length), filled);
        at += length;
        filled += length;
        if (filled === PIECE) await emit(piece);
        filled %= PIECE;
      }
    }
    // Seldom of no length, which PNG allows.
    await emit(piece.subarray(0, filled));
  };
  const pumping = pump().catch(async (error: unknown) => {
    failure = { error };
    // Ends the writing side too, so that no write waits for a reader that is gone.
    await reader.cancel(error).catch(() => {});
    await writer.abort(error).catch(() => {});
  });
  const guarded = async (step: Promise<void>): Promise<void> => {
    await step.catch((error: unknown) => {
      failure ??= { error };
    });
    if (failure) throw failure.error;
  };
  return {
    write: (bytes) => guarded(writer.write(bytes as Uint8Array<ArrayBuffer>)),
    finish: () => guarded(writer.close().then(() => pumping)),
  };
};
