import type { ByteSource } from '../../plane/bytes.ts';

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
}

export const plainBytes = (source: ByteSource): FitsBytes => ({
  name: source.name,
  inflated: false,
  async available(offset, length) {
    return Math.max(0, Math.min(length, source.size - offset));
  },
  read: (offset, length) => source.read(offset, length),
});
