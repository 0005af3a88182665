import { ZstdDamage } from '../zstd/damage.ts';
import { zstdBlocks } from '../zstd/frames.ts';
import { storedBytes } from '../zstd/source.ts';
import type { ByteStream, Pieces } from './stream.ts';

/**
 * Zstandard (RFC 8878) as libtiff numbers it. Blocks are decoded as far as is asked for. A frame's checksum, where it has one, is
 * checked when its last block is reached; libtiff writes none.
 */
export const zstdStream = (pieces: Pieces): ByteStream => {
  const { history, more } = zstdBlocks(storedBytes(pieces));
  /** Bytes in front of the history's end that nobody has taken. */
  let left = 0;
  const refill = async (): Promise<void> => {
    left = await more().catch((error: unknown) => {
      if (error instanceof ZstdDamage) throw pieces.fault(`holds a damaged Zstandard stream (${error.message})`);
      throw error;
    });
    if (left === 0) throw pieces.fault('ends early');
  };
  return {
    async fill(into) {
      for (let filled = 0; filled < into.length; ) {
        if (left === 0) await refill();
        const length = Math.min(left, into.length - filled);
        const from = history.end - left;
        into.set(history.bytes.subarray(from, from + length), filled);
        left -= length;
        filled += length;
      }
    },
    close() {},
  };
};
