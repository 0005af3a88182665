import { outputError } from '../../plane/errors.ts';
import { NO_BANDS, type PictureEncoder, type PictureInfo } from '../../plane/picture.ts';
import { concatenated } from '../concatenated.ts';
import { joinAdler32, zlibEnd } from '../deflate/zlib.ts';
import { iccProfile } from '../icc.ts';
import { chunk, latin1, SIGNATURE, zlibStored } from './chunk.ts';
import { fastMaker } from './fast-maker.ts';
import { plainMaker } from './plain-maker.ts';

/** Keyword of the iTXt chunk that carries the note. */
export const NOTE_KEYWORD = 'linewash';

/** Rows are compressed by about so many bytes, which look back at none before them. */
const BLOCK = 1 << 20;

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

/** Rows of a block. */
const blockRows = ({ width, bands, sample }: PictureInfo): number =>
  Math.max(1, Math.floor(BLOCK / (width * bands * (sample === 'u8' ? 1 : 2) + 1)));

/**
 * Encodes an RGB(A) PNG of 8 or 16 bits band by band, with ICC profile and the note as iTXt under the keyword "linewash".
 * @throws LinewashError 'output' for float samples
 */
export const pngEncoder = (info: PictureInfo): PictureEncoder => {
  checkInfo(info);
  const rowSamples = info.width * info.bands;
  const most = blockRows(info);
  const make = fastMaker(info, most) ?? plainMaker(info);
  return {
    head: concatenated(headOf(info)),
    rows: most,
    above: 1,
    encode(rows, y, above) {
      const bytes: Uint8Array[] = [];
      let sum = NO_BANDS;
      let length = 0;
      const step = most * rowSamples;
      for (let from = 0; from < rows.length; from += step) {
        const before = from === 0 ? above : rows.subarray(from - rowSamples, from);
        const made = make(rows.subarray(from, from + step), before, y === 0 && from === 0);
        bytes.push(made.chunk);
        sum = joinAdler32(sum, made.sum, made.length);
        length += made.length;
      }
      return { bytes, sum, length };
    },
    join: (sum, band) => joinAdler32(sum, band.sum, band.length),
    tail: (sum) => concatenated([chunk('IDAT', zlibEnd(sum)), chunk('IEND')]),
  };
};
