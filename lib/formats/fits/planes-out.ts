import type { ByteSink } from '../../plane/bytes.ts';
import { outputError } from '../../plane/errors.ts';
import { type OutputRows, type OutputSample, outputRows } from '../../plane/picture.ts';
import { BLOCK_BYTES } from './header.ts';
import { swap16, swap32 } from './samples.ts';

export const OUTPUT_BYTES: Readonly<Record<OutputSample, number>> = { u8: 1, u16: 2, f32: 4 };

/** A picture to be written as planes one after the other, bottom row first, big-endian. */
export interface PlanesLayout {
  readonly width: number;
  readonly height: number;
  readonly planes: number;
  readonly sample: OutputSample;
  readonly header: Uint8Array;
}

/**
 * Writes header and planes as rows arrive, top first, pixels interleaved; `finish` pads to whole blocks.
 * Memory: one plane's share of the rows of a call.
 */
export const planesOut = (sink: ByteSink, layout: PlanesLayout) => {
  const { width, height, planes, sample, header } = layout;
  const rowBytes = width * OUTPUT_BYTES[sample];
  let y = 0;
  let started = false;
  const start = async () => {
    if (!started) await sink.writeAt(0, header);
    started = true;
  };
  const writeRows = async (rows: OutputRows): Promise<void> => {
    const count = rows.length / (width * planes);
    if (!Number.isInteger(count) || y + count > height)
      throw new RangeError(`${rows.length} samples are no rows of ${width} × ${planes}, or more than the picture has`);
    await start();
    for (let plane = 0; plane < planes; plane++) {
      const bytes = takePlane(rows, plane, layout, count);
      await sink.writeAt(header.length + (plane * height + height - y - count) * rowBytes, bytes);
    }
    y += count;
  };
  const finish = async (): Promise<void> => {
    if (y < height) throw outputError('FITS picture', `only ${y} of ${height} rows were written`);
    await start();
    const padding = planesPadding(layout);
    if (padding > 0) await sink.writeAt(header.length + planes * height * rowBytes, new Uint8Array(padding));
  };
  return { writeRows, finish };
};

/** Zeros after the last plane, up to a whole block. */
export const planesPadding = ({ width, height, planes, sample }: Omit<PlanesLayout, 'header'>): number => {
  const length = planes * height * width * OUTPUT_BYTES[sample];
  return (BLOCK_BYTES - (length % BLOCK_BYTES)) % BLOCK_BYTES;
};

/** One plane of `count` interleaved rows as FITS bytes, in `out`: rows reversed, samples big-endian. */
export const takePlane = (
  rows: OutputRows,
  plane: number,
  layout: Pick<PlanesLayout, 'width' | 'planes' | 'sample'>,
  count: number,
  out: OutputRows = outputRows(layout.sample, count * layout.width),
): Uint8Array => {
  const { width, planes } = layout;
  for (let row = 0; row < count; row++) {
    let from = row * width * planes + plane;
    const to = (count - 1 - row) * width;
    for (let x = 0; x < width; x++, from += planes) out[to + x] = rows[from]!;
  }
  if (out instanceof Uint16Array) {
    // Unsigned integers are stored as signed ones less BZERO = 32768, which turns the top bit around.
    for (let i = 0; i < out.length; i++) out[i]! ^= 0x8000;
    swap16(out);
  } else if (out instanceof Float32Array) swap32(new Uint32Array(out.buffer, out.byteOffset, out.length));
  return new Uint8Array(out.buffer, out.byteOffset, out.byteLength);
};
