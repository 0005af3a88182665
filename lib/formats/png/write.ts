import type { ByteSink } from '../../plane/bytes.ts';
import { outputError } from '../../plane/errors.ts';
import type { OutputRows, PictureInfo, PictureWriter } from '../../plane/picture.ts';
import { zlibWriter } from '../deflate/zlib.ts';
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

/** Turns rows into blocks of filtered bytes, cut at the same rows however they come. */
const rowFilter = (info: PictureInfo, rowBytes: number, compress: (block: Uint8Array) => Promise<void>) => {
  let above = new Uint8Array(rowBytes);
  let row = new Uint8Array(rowBytes);
  const rowSamples = info.width * info.bands;
  const pixelBytes = rowBytes / info.width;
  const block = new Uint8Array(Math.max(1, Math.floor(BLOCK / (rowBytes + 1))) * (rowBytes + 1));
  let filled = 0;
  return {
    async add(rows: OutputRows, y: number): Promise<void> {
      bigEndianRow(rows, y * rowSamples, row);
      filterRow(row, above, pixelBytes, block.subarray(filled, filled + rowBytes + 1));
      [above, row] = [row, above];
      filled += rowBytes + 1;
      if (filled < block.length) return;
      filled = 0;
      await compress(block);
    },
    async finish(): Promise<void> {
      if (filled > 0) await compress(block.subarray(0, filled));
    },
  };
};

/**
 * Writes an RGB(A) PNG of 8 or 16 bits, forward only, with ICC profile and the note as iTXt under the keyword
 * "linewash". Memory is bounded by a few rows or half a megabyte, whichever is more.
 * @throws LinewashError 'output' for float samples. RangeError where rows are given that the picture does not have, or
 * `finish` is called before all came: defects of the caller. What the sink throws is passed on.
 */
export const pngWriter = async (sink: ByteSink, info: PictureInfo): Promise<PictureWriter> => {
  checkInfo(info);
  let end = 0;
  const append = async (bytes: Uint8Array) => {
    const at = end;
    end += bytes.length;
    await sink.writeAt(at, bytes);
  };
  for (const bytes of headOf(info)) await append(bytes);
  const rowSamples = info.width * info.bands;
  const rowBytes = rowSamples * (info.sample === 'u8' ? 1 : 2);
  const zlib = zlibWriter();
  const filter = rowFilter(info, rowBytes, (block) => append(chunk('IDAT', ...zlib.block(block))));
  let rowsWritten = 0;
  return {
    async writeRows(rows) {
      if (rows.BYTES_PER_ELEMENT * rowSamples !== rowBytes) throw new RangeError(`${info.sample} rows are wanted`);
      if (rows.length % rowSamples !== 0) throw new RangeError('whole rows are wanted');
      const count = rows.length / rowSamples;
      if (rowsWritten + count > info.height) throw new RangeError('more rows than the picture has');
      rowsWritten += count;
      for (let y = 0; y < count; y++) await filter.add(rows, y);
    },
    async finish() {
      if (rowsWritten !== info.height) throw new RangeError('fewer rows than the picture has');
      await filter.finish();
      await append(chunk('IDAT', zlib.finish()));
      await append(chunk('IEND'));
    },
  };
};
