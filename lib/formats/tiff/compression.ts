import { inflateStream } from './inflate.ts';
import { lzwStream } from './lzw.ts';
import { packBitsStream } from './packbits.ts';
import type { ByteStream, Pieces } from './stream.ts';
import { zstdStream } from './zstd.ts';

export interface Compression {
  readonly name: string;
  /** Decoded bytes that one stored byte can stand for at most; a strip that promises more is refused unread. */
  readonly ratio: number;
  /** Absent for stored bytes, which need no decoder, and for what is known but not read. */
  readonly open?: (pieces: Pieces) => ByteStream;
}

/**
 * Compression schemes by their number in tag 259. Ratios: deflate's longest match is 258 bytes for 2 bits (1032:1);
 * LZW grows its strings by one from Clear to Clear, 3838 codes of 9 to 12 bits (below 1400:1); PackBits gives 128 for 2;
 * a block of Zstandard gives 128 KiB for no fewer than 4; JPEG takes two bits or more for each block of 64 samples, and 18
 * blocks stand for at most 3072 samples.
 */
export const COMPRESSIONS: Readonly<Record<number, Compression>> = {
  1: { name: 'none', ratio: 1 },
  5: { name: 'LZW', ratio: 1400, open: lzwStream },
  8: { name: 'deflate', ratio: 1040, open: inflateStream },
  32773: { name: 'PackBits', ratio: 64, open: packBitsStream },
  32946: { name: 'deflate', ratio: 1040, open: inflateStream },
  50000: { name: 'Zstandard', ratio: 32768, open: zstdStream },
  2: { name: 'CCITT', ratio: 0 },
  3: { name: 'CCITT', ratio: 0 },
  4: { name: 'CCITT', ratio: 0 },
  6: { name: 'old-style JPEG', ratio: 0 },
  7: { name: 'JPEG', ratio: 768 },
  34712: { name: 'JPEG 2000', ratio: 0 },
  34887: { name: 'LERC', ratio: 0 },
  34925: { name: 'LZMA', ratio: 0 },
  50001: { name: 'WebP', ratio: 0 },
  52546: { name: 'JPEG XL', ratio: 0 },
};
