import { outputError } from '../../plane/errors.ts';
import { NO_BANDS, type OutputRows, type PictureEncoder, type PictureInfo } from '../../plane/picture.ts';
import { concatenated } from '../concatenated.ts';
import { StuffedBits } from './bits.ts';
import { blockCoder } from './blocks.ts';
import { headOf } from './head.ts';
import { MARK } from './marks.ts';

/** Rows and columns of a block. */
const SIDE = 8;
/** Longest side: the file could state 65,535, but the library that most programs read JPEG with refuses more than this. */
const LONGEST_SIDE = 65500;
/** Bytes that a block can take: 64 coefficients of 16 bits of code and 11 of value, each byte stuffed. */
const MOST_BYTES = 2 * 64 * 4;

const checkInfo = ({ width, height, bands, sample, space }: PictureInfo): void => {
  if (sample !== 'u8') throw outputError('JPEG', 'JPEG holds 8 bits a sample', 'choose 8 bits, or PNG or TIFF');
  if (bands !== 3) throw outputError('JPEG', 'JPEG has no alpha channel', 'leave alpha out, or write PNG or TIFF');
  if (space === 'srgb-linear')
    throw outputError('JPEG', '8 bits are too few for linear light', 'choose srgb or display-p3, or write PNG or TIFF');
  for (const n of [width, height])
    if (!(Number.isInteger(n) && n > 0))
      throw new RangeError(`a picture of ${width} × ${height} pixels cannot be written`);
  if (Math.max(width, height) > LONGEST_SIDE)
    throw outputError(
      'JPEG',
      `a JPEG can have at most ${LONGEST_SIDE} pixels a side; this picture has ${width} × ${height}`,
      'make it smaller, or write PNG or TIFF',
    );
};

/** Lightness and two colour differences of a block of pixels around 0, by ITU-T T.871 §7; beyond the edges pixels repeat. */
const blockReader = (width: number) => {
  const [y, cb, cr] = [0, 1, 2].map(() => new Float64Array(SIDE * SIDE)) as [Float64Array, Float64Array, Float64Array];
  const read = (rows: OutputRows, top: number, count: number, left: number): void => {
    for (let j = 0, i = 0; j < SIDE; j++) {
      const row = (top + Math.min(j, count - 1)) * width;
      for (let k = 0; k < SIDE; k++, i++) {
        const at = 3 * (row + Math.min(left + k, width - 1));
        const [red, green, blue] = [rows[at]!, rows[at + 1]!, rows[at + 2]!];
        const light = 0.299 * red + 0.587 * green + 0.114 * blue;
        y[i] = light - 128;
        cb[i] = (blue - light) * (0.5 / 0.886);
        cr[i] = (red - light) * (0.5 / 0.701);
      }
    }
  };
  return { y, cb, cr, read };
};

/**
 * Encodes an RGB JPEG (baseline, 4:4:4, quality 92) band by band, with ICC profile and the note as comments. Each row of
 * blocks ends in a restart, so that it depends on nothing but its own pixels.
 * @throws LinewashError 'output' for what JPEG cannot hold: other samples, alpha, linear light, more than 65,500 pixels a side
 */
export const jpegEncoder = (info: PictureInfo): PictureEncoder => {
  checkInfo(info);
  const { width } = info;
  const across = Math.ceil(width / SIDE);
  const bits = new StuffedBits(new Uint8Array(across * 3 * MOST_BYTES));
  const pixels = blockReader(width);
  const lightness = blockCoder('lightness', bits);
  const [blue, red] = [blockCoder('colour', bits), blockCoder('colour', bits)];
  const encodeRow = (rows: OutputRows, top: number, count: number): Uint8Array => {
    for (const coder of [lightness, blue, red]) coder.restart();
    for (let left = 0; left < width; left += SIDE) {
      pixels.read(rows, top, count, left);
      lightness.put(pixels.y);
      blue.put(pixels.cb);
      red.put(pixels.cr);
    }
    return bits.take();
  };
  return {
    head: concatenated(headOf(info)),
    rows: SIDE,
    above: 0,
    encode(rows, y) {
      const count = rows.length / (3 * width);
      const bytes: Uint8Array[] = [];
      for (let top = 0; top < count; top += SIDE) {
        const number = (y + top) / SIDE;
        if (number > 0) bytes.push(Uint8Array.of(0xff, MARK.restart + ((number - 1) & 7)));
        bytes.push(encodeRow(rows, top, Math.min(SIDE, count - top)));
      }
      return { bytes, sum: NO_BANDS, length: 0 };
    },
    join: (sum) => sum,
    tail: () => Uint8Array.of(0xff, MARK.end),
  };
};
