import type { ByteSource } from '../../plane/bytes.ts';
import type { GzipCursor } from './gzip-stream.ts';

/** Places of a gzip file from which inflating can begin, and how far it is known. Plain data. */
export interface SeekPoints {
  readonly points: readonly GzipCursor[];
  /** Inflated bytes from one to the next, at least. */
  readonly spacing: number;
  /** Inflated bytes that were seen. */
  readonly seen: number;
}

/** The bytes of a FITS file, uncompressed or seen through gzip; the length of the latter shows only on reading on. */
export interface FitsBytes {
  readonly name: string;
  /** True where offsets are not those of the file itself. */
  readonly inflated: boolean;
  /**
   * How many of the `length` bytes from `offset` exist.
   * May have to inflate up to there, hence the promise; never holds more than a window in memory.
   */
  available(offset: number, length: number): Promise<number>;
  /** As `ByteSource.read`. */
  read(offset: number, length: number): Promise<Uint8Array>;
  /** The places found so far; absent for bytes that need none. */
  seekPoints?(): SeekPoints;
}

export const plainBytes = (source: ByteSource): FitsBytes => ({
  name: source.name,
  inflated: false,
  async available(offset, length) {
    return Math.max(0, Math.min(length, source.size - offset));
  },
  read: (offset, length) => source.read(offset, length),
});
