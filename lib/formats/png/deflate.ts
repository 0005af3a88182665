/** A running compression: bytes in, zlib stream out. */
export interface Deflate {
  /** Resolves when the bytes were taken; they must not be changed afterwards. */
  write(bytes: Uint8Array): Promise<void>;
  /** Resolves when the last compressed byte was handed on. */
  finish(): Promise<void>;
}

/** Compressed bytes are handed on in pieces of this size or a little more. */
const PIECE = 1 << 16;

/**
 * Compresses with the platform's own deflate stream (zlib format, RFC 1950) and hands the result on in order, as the
 * parts of one piece after the other. A failure of `emit` comes out of the next `write` or of `finish`.
 */
export const deflateInto = (emit: (parts: readonly Uint8Array[]) => Promise<void>): Deflate => {
  const stream = new CompressionStream('deflate');
  const writer = stream.writable.getWriter();
  const reader = stream.readable.getReader();
  let failure: { readonly error: unknown } | undefined;

  const pump = async (): Promise<void> => {
    let parts: Uint8Array[] = [];
    let length = 0;
    for (;;) {
      const { done, value } = await reader.read();
      if (!done) {
        parts.push(value);
        length += value.length;
      }
      if (length >= PIECE || (done && length > 0)) {
        await emit(parts);
        parts = [];
        length = 0;
      }
      if (done) return;
    }
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
