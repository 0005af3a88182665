import type { ByteSink } from '../../plane/bytes.ts';
import { outputError } from '../../plane/errors.ts';
import type { OutputRows, PictureInfo, PictureWriter } from '../../plane/picture.ts';
import { iccProfile } from '../icc.ts';
import { chunk, latin1, SIGNATURE, zlibStored } from './chunk.ts';
import { deflateInto } from './deflate.ts';
import { bigEndianRow, filterRow } from './filter.ts';

/** Keyword of the iTXt chunk that carries the note. */
export const NOTE_KEYWORD = 'linewash';

/** Rows are filtered into buffers of about this many bytes. */
const BATCH = 1 << 18;

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

/** Turns rows into filtered bytes; keeps the row above between calls. */
const rowFilter = (
  info: PictureInfo,
  rowBytes: number,
): ((rows: OutputRows, y: number, count: number) => Uint8Array) => {
  let above = new Uint8Array(rowBytes);
  let row = new Uint8Array(rowBytes);
  const rowSamples = info.width * info.bands;
  const pixelBytes = rowBytes / info.width;
  return (rows, y, count) => {
    const filtered = new Uint8Array(count * (rowBytes + 1));
    for (let i = 0; i < count; i++) {
      bigEndianRow(rows, (y + i) * rowSamples, row);
      filterRow(row, above, pixelBytes, filtered.subarray(i * (rowBytes + 1), (i + 1) * (rowBytes + 1)));
      [above, row] = [row, above];
    }
    return filtered;
  };
};

/**
 * Writes an RGB(A) PNG of 8 or 16 bits, forward only, with ICC profile and the note as iTXt under the keyword
 * "linewash". Memory is bounded by a few rows or a quarter of a megabyte, whichever is more.
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
  const batchRows = Math.max(1, Math.floor(BATCH / (rowBytes + 1)));
  const filter = rowFilter(info, rowBytes);
  const deflate = deflateInto((piece) => append(chunk('IDAT', piece)));
  let rowsWritten = 0;
  return {
    async writeRows(rows) {
      if (rows.BYTES_PER_ELEMENT * rowSamples !== rowBytes) throw new RangeError(`${info.sample} rows are wanted`);
      if (rows.length % rowSamples !== 0) throw new RangeError('whole rows are wanted');
      const count = rows.length / rowSamples;
      if (rowsWritten + count > info.height) throw new RangeError('more rows than the picture has');
      rowsWritten += count;
      for (let y = 0; y < count; y += batchRows) await deflate.write(filter(rows, y, Math.min(batchRows, count - y)));
    },
    async finish() {
      if (rowsWritten !== info.height) throw new RangeError('fewer rows than the picture has');
      await deflate.finish();
      await append(chunk('IEND'));
    },
  };
};
