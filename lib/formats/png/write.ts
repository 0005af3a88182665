import { outputError } from '../../plane/errors.ts';
import { NO_BANDS, type OutputRows, type PictureEncoder, type PictureInfo } from '../../plane/picture.ts';
import { concatenated } from '../concatenated.ts';
import { deflateBlock } from '../deflate/block.ts';
import { adler32, joinAdler32, ZLIB_HEAD, zlibEnd } from '../deflate/zlib.ts';
import { iccProfile } from '../icc.ts';
import { chunk, latin1, SIGNATURE, zlibStored } from './chunk.ts';
import { bigEndianRow, filterRow } from './filter.ts';

/** Keyword of the iTXt chunk that carries the note. */
export const NOTE_KEYWORD = 'linewash';

/** Rows are compressed in blocks of about so many bytes, each with a code of its own. */
const BLOCK = 1 << 16;

/**
 * Every chunk before the pixels. The colour space is stated by the ICC profile alone: each of the three spaces has one,
 * every reader that knows the newer cICP chunk knows iCCP too, and checkers of the second edition call cICP an error.
 */
const headOf = (info: PictureInfo): Uint8Array[] => {
  const ihdr = new Uint8Array(13);
  const view = new DataView(ihdr.buffer);
  view.setUint32(0, info.width);
  view.setUint32(4, info.height);
  ihdr.set([info.sample === 'u8' ? 8 : 16, info.bands === 4 ? 6 : 2, 0, 0, 0], 8);
  const head = [
    SIGNATURE,
    chunk('IHDR', ihdr),
    chunk('iCCP', latin1(`${info.space}\0\0`), zlibStored(iccProfile(info.space))),
  ];
  // Keyword, not compressed, no language, no translated keyword, text in UTF-8 (§11.3.3.4).
  if (info.note !== '')
    head.push(chunk('iTXt', latin1(`${NOTE_KEYWORD}\0\0\0\0\0`), new TextEncoder().encode(info.note)));
  return head;
};

const checkInfo = (info: PictureInfo): void => {
  if (info.sample === 'f32')
    throw outputError('PNG', 'PNG holds 8 or 16 bits a sample, not floats', 'choose 16 bits, or TIFF for floats');
  for (const n of [info.width, info.height])
    if (!(Number.isInteger(n) && n > 0 && n <= 0x7fffffff))
      throw new RangeError(`a picture of ${info.width} × ${info.height} pixels cannot be written`);
};

/**
 * Turns rows into blocks of filtered bytes, cut at the same rows however they come.
 * @param above the row before the first, absent at the top of the picture
 */
const rowFilter = (info: PictureInfo, above: OutputRows | undefined) => {
  const rowSamples = info.width * info.bands;
  const rowBytes = rowSamples * (info.sample === 'u8' ? 1 : 2);
  const pixelBytes = rowBytes / info.width;
  let before = new Uint8Array(rowBytes);
  let row = new Uint8Array(rowBytes);
  if (above) bigEndianRow(above, 0, before);
  const block = new Uint8Array(blockRows(info) * (rowBytes + 1));
  let filled = 0;
  return {
    /** The block that row `y` of some rows makes whole; valid until the next call. */
    add(rows: OutputRows, y: number): Uint8Array | undefined {
      bigEndianRow(rows, y * rowSamples, row);
      filterRow(row, before, pixelBytes, block.subarray(filled, filled + rowBytes + 1));
      [before, row] = [row, before];
      filled += rowBytes + 1;
      if (filled < block.length) return undefined;
      filled = 0;
      return block;
    },
    /** What is left at the end. */
    rest: (): Uint8Array | undefined => (filled > 0 ? block.subarray(0, filled) : undefined),
  };
};

/** Rows of a block. */
const blockRows = ({ width, bands, sample }: PictureInfo): number =>
  Math.max(1, Math.floor(BLOCK / (width * bands * (sample === 'u8' ? 1 : 2) + 1)));

/** A block as a chunk of its own; the first carries the head of the stream. */
const blockChunk = (block: Uint8Array, first: boolean): Uint8Array =>
  chunk('IDAT', ...(first ? [ZLIB_HEAD] : []), deflateBlock(block));

/**
 * Encodes an RGB(A) PNG of 8 or 16 bits band by band, with ICC profile and the note as iTXt under the keyword "linewash".
 * @throws LinewashError 'output' for float samples
 */
export const pngEncoder = (info: PictureInfo): PictureEncoder => {
  checkInfo(info);
  const rowSamples = info.width * info.bands;
  return {
    head: concatenated(headOf(info)),
    rows: blockRows(info),
    above: 1,
    encode(rows, y, above) {
      const filter = rowFilter(info, above);
      const bytes: Uint8Array[] = [];
      let sum = NO_BANDS;
      let length = 0;
      const take = (block: Uint8Array | undefined) => {
        if (block === undefined) return;
        bytes.push(blockChunk(block, y === 0 && bytes.length === 0));
        sum = adler32(block, sum);
        length += block.length;
      };
      for (let r = 0; r < rows.length / rowSamples; r++) take(filter.add(rows, r));
      take(filter.rest());
      return { bytes, sum, length };
    },
    join: (sum, band) => joinAdler32(sum, band.sum, band.length),
    tail: (sum) => concatenated([chunk('IDAT', zlibEnd(sum)), chunk('IEND')]),
  };
};
