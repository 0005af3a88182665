import type { ByteSink } from '../../plane/bytes.ts';
import type { OutputRows, PictureInfo, PictureWriter } from '../../plane/picture.ts';
import { SAMPLE_BYTES, tiffLayout } from './layout.ts';

export { tiffLayout } from './layout.ts';

const LITTLE_ENDIAN_MACHINE = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** The samples' bytes, little-endian: a view where the machine is, else a swapped copy. */
export const littleEndianBytes = (rows: OutputRows, machineIsLittle = LITTLE_ENDIAN_MACHINE): Uint8Array => {
  const bytes = new Uint8Array(rows.buffer, rows.byteOffset, rows.byteLength);
  if (machineIsLittle || rows.BYTES_PER_ELEMENT === 1) return bytes;
  const swapped = bytes.slice();
  for (let i = 0; i < swapped.length; i += rows.BYTES_PER_ELEMENT)
    swapped.subarray(i, i + rows.BYTES_PER_ELEMENT).reverse();
  return swapped;
};

/**
 * Writes an RGB(A) TIFF, forward only: see `tiffLayout` for the form. Rows go straight to the sink; nothing is kept.
 * @throws RangeError where rows are given that the picture does not have, or `finish` is called before all came:
 * defects of the caller. What the sink throws is passed on.
 */
export const tiffWriter = async (sink: ByteSink, info: PictureInfo): Promise<PictureWriter> => {
  const layout = tiffLayout(info);
  const rowBytes = info.width * info.bands * SAMPLE_BYTES[info.sample];
  let written = 0;
  await sink.writeAt(0, layout.head);
  return {
    async writeRows(rows) {
      if (rows.BYTES_PER_ELEMENT !== SAMPLE_BYTES[info.sample]) throw new RangeError(`expected ${info.sample} samples`);
      if (rows.byteLength % rowBytes !== 0) throw new RangeError('expected whole rows');
      if (written + rows.byteLength > layout.pixelBytes) throw new RangeError('more rows than the picture has');
      const at = layout.pixelOffset + written;
      written += rows.byteLength;
      await sink.writeAt(at, littleEndianBytes(rows));
    },
    async finish() {
      if (written !== layout.pixelBytes) throw new RangeError('fewer rows than the picture has');
      await sink.writeAt(layout.pixelOffset + layout.pixelBytes, layout.tail);
    },
  };
};
