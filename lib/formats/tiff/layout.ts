import type { OutputSample, PictureInfo, PictureLayout } from '../../plane/picture.ts';
import { iccProfile } from '../icc.ts';
import { FIELD, FIELD_BYTES, TAG } from './tags.ts';

/** Bytes of one output sample. */
export const SAMPLE_BYTES: Readonly<Record<OutputSample, number>> = { u8: 1, u16: 2, f32: 4 };

const STRIP_PIXELS = 131072;
const CLASSIC_LIMIT = 0xffffffff;

interface Entry {
  readonly tag: number;
  readonly type: number;
  readonly values: ArrayLike<number>;
}

const entry = (tag: number, type: keyof typeof FIELD, values: ArrayLike<number>): Entry => ({
  tag,
  type: FIELD[type],
  values,
});

/** A note's bytes with the closing NUL that the ASCII field type asks for. */
const ascii = (text: string): Uint8Array => {
  const bytes = new Uint8Array(text.length + 1);
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === 0 || code > 127) throw new RangeError('a note must be ASCII without NUL');
    bytes[i] = code;
  }
  return bytes;
};

const isCount = (n: number): boolean => Number.isInteger(n) && n > 0 && n <= 0x7fffffff;

/** How the pixels fall into strips of about 128 Ki pixels each. */
const stripsOf = (info: PictureInfo): { rows: number; count: number; rowBytes: number } => {
  const rows = Math.min(info.height, Math.max(1, Math.floor(STRIP_PIXELS / info.width)));
  const rowBytes = info.width * info.bands * SAMPLE_BYTES[info.sample];
  return { rows, count: Math.ceil(info.height / rows), rowBytes };
};

/** The directory in ascending tag order, as TIFF 6.0 demands; strips start at `pixelOffset`. */
const entriesOf = (info: PictureInfo, big: boolean, pixelOffset: number): Entry[] => {
  const strips = stripsOf(info);
  const stripBytes = strips.rows * strips.rowBytes;
  const offset = big ? 'long8' : 'long';
  const starts = Float64Array.from({ length: strips.count }, (_, i) => pixelOffset + i * stripBytes);
  const lastRows = info.height - (strips.count - 1) * strips.rows;
  const counts = new Float64Array(strips.count).fill(stripBytes);
  counts[strips.count - 1] = lastRows * strips.rowBytes;
  const perBand = (value: number) => new Array<number>(info.bands).fill(value);
  return [
    entry(TAG.NewSubfileType, 'long', [0]),
    entry(TAG.ImageWidth, 'long', [info.width]),
    entry(TAG.ImageLength, 'long', [info.height]),
    entry(TAG.BitsPerSample, 'short', perBand(8 * SAMPLE_BYTES[info.sample])),
    entry(TAG.Compression, 'short', [1]),
    entry(TAG.PhotometricInterpretation, 'short', [2]),
    ...(info.note === '' ? [] : [entry(TAG.ImageDescription, 'ascii', ascii(info.note))]),
    entry(TAG.StripOffsets, offset, starts),
    entry(TAG.Orientation, 'short', [1]),
    entry(TAG.SamplesPerPixel, 'short', [info.bands]),
    entry(TAG.RowsPerStrip, 'long', [strips.rows]),
    entry(TAG.StripByteCounts, offset, counts),
    entry(TAG.XResolution, 'rational', [1, 1]),
    entry(TAG.YResolution, 'rational', [1, 1]),
    entry(TAG.PlanarConfiguration, 'short', [1]),
    entry(TAG.ResolutionUnit, 'short', [1]),
    entry(TAG.Software, 'ascii', ascii('linewash')),
    ...(info.bands === 4 ? [entry(TAG.ExtraSamples, 'short', [2])] : []),
    entry(TAG.SampleFormat, 'short', perBand(info.sample === 'f32' ? 3 : 1)),
    entry(TAG.IccProfile, 'undefined', iccProfile(info.space)),
  ];
};

/** A rational is two stored longs, counted as one value. */
const countOf = (e: Entry): number => (e.type === FIELD.rational ? e.values.length / 2 : e.values.length);

const bytesOf = (e: Entry): number => FIELD_BYTES[e.type]! * countOf(e);

const even = (n: number): number => n + (n % 2);

/** Header, directory and what does not fit into it: the length of `head`, a multiple of 16. */
const headLength = (entries: readonly Entry[], big: boolean): number => {
  const inline = big ? 8 : 4;
  let length = (big ? 16 + 8 + 8 : 8 + 2 + 4) + entries.length * (big ? 20 : 12);
  for (const e of entries) if (bytesOf(e) > inline) length += even(bytesOf(e));
  return Math.ceil(length / 16) * 16;
};

const writeValues = (view: DataView, at: number, e: Entry): void => {
  const size = e.type === FIELD.rational ? 4 : FIELD_BYTES[e.type]!;
  for (let i = 0; i < e.values.length; i++) {
    const value = e.values[i]!;
    const place = at + i * size;
    if (size === 1) view.setUint8(place, value);
    else if (size === 2) view.setUint16(place, value, true);
    else if (size === 4) view.setUint32(place, value, true);
    else view.setBigUint64(place, BigInt(value), true);
  }
};

const writeHead = (entries: readonly Entry[], big: boolean, length: number): Uint8Array => {
  const head = new Uint8Array(length);
  const view = new DataView(head.buffer);
  const long = (at: number, value: number) =>
    big ? view.setBigUint64(at, BigInt(value), true) : view.setUint32(at, value, true);
  const inline = big ? 8 : 4;
  const start = big ? 16 : 8;
  head.set([0x49, 0x49, big ? 43 : 42, 0]);
  if (big) view.setUint16(4, 8, true);
  long(big ? 8 : 4, start);
  if (big) long(start, entries.length);
  else view.setUint16(start, entries.length, true);
  let at = start + (big ? 8 : 2);
  let values = at + entries.length * (big ? 20 : 12) + inline;
  for (const e of entries) {
    view.setUint16(at, e.tag, true);
    view.setUint16(at + 2, e.type, true);
    long(at + 4, countOf(e));
    const field = at + 4 + inline;
    if (bytesOf(e) <= inline) writeValues(view, field, e);
    else {
      long(field, values);
      writeValues(view, values, e);
      values += even(bytesOf(e));
    }
    at = field + inline;
  }
  return head;
};

/**
 * The layout of an RGB or RGBA TIFF (TIFF 6.0, little-endian, uncompressed strips) with its ICC profile in tag 34675 and
 * the note in tag 270. BigTIFF where the whole file would exceed 4 GiB − 1. Pixels may be written in any order, anywhere
 * from `pixelOffset` on.
 * @throws RangeError for a size that is not a positive whole number, or a note that is not ASCII: defects of the caller.
 */
export const tiffLayout = (info: PictureInfo): PictureLayout => {
  if (!isCount(info.width) || !isCount(info.height))
    throw new RangeError(`a picture of ${info.width} × ${info.height} pixels cannot be written`);
  const pixelBytes = info.height * stripsOf(info).rowBytes;
  const classicLength = headLength(entriesOf(info, false, 0), false);
  const big = classicLength + pixelBytes > CLASSIC_LIMIT;
  const pixelOffset = big ? headLength(entriesOf(info, true, 0), true) : classicLength;
  const head = writeHead(entriesOf(info, big, pixelOffset), big, pixelOffset);
  return { head, pixelOffset, pixelBytes, tail: new Uint8Array(0), planes: false };
};
