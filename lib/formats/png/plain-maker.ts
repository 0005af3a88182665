import type { OutputRows, PictureInfo } from '../../plane/picture.ts';
import { LONG, SHORT } from '../deflate/matches.ts';
import { deflateBlocks } from '../deflate/plain.ts';
import { adler32, ZLIB_HEAD } from '../deflate/zlib.ts';
import { chunk } from './chunk.ts';
import { bigEndianRow, filterRow } from './filter.ts';

/** Rows as a chunk of their own. */
export interface MadeBlock {
  readonly chunk: Uint8Array;
  /** Checksum of the filtered bytes, and their number. */
  readonly sum: number;
  readonly length: number;
}

/**
 * Makes a chunk of the rows of a block.
 * @param above the row before them, absent at the top of the picture
 * @param first whether the chunk begins the stream
 */
export type BlockMaker = (rows: OutputRows, above: OutputRows | undefined, first: boolean) => MadeBlock;

/** Bytes of a row and of a pixel, and how alike the beginnings of matches are: bytes of wide samples repeat few others. */
export const rowForm = ({ width, bands, sample }: PictureInfo) => {
  const pixelBytes = bands * (sample === 'u8' ? 1 : 2);
  return {
    rowSamples: width * bands,
    rowBytes: width * pixelBytes,
    pixelBytes,
    alike: sample === 'u8' ? LONG : SHORT,
  } as const;
};

/** In plain code: what the kernel does where there is one, and its judge. */
export const plainMaker = (info: PictureInfo): BlockMaker => {
  const { rowSamples, rowBytes, pixelBytes, alike } = rowForm(info);
  return (rows, above, first) => {
    let before = new Uint8Array(rowBytes);
    let row = new Uint8Array(rowBytes);
    if (above) bigEndianRow(above, 0, before);
    const count = rows.length / rowSamples;
    const block = new Uint8Array(count * (rowBytes + 1));
    for (let y = 0; y < count; y++) {
      bigEndianRow(rows, y * rowSamples, row);
      filterRow(row, before, pixelBytes, block.subarray(y * (rowBytes + 1), (y + 1) * (rowBytes + 1)));
      [before, row] = [row, before];
    }
    const parts = [...(first ? [ZLIB_HEAD] : []), deflateBlocks(block, alike)];
    return { chunk: chunk('IDAT', ...parts), sum: adler32(block), length: block.length };
  };
};
