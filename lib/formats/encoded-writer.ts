import type { ByteSink } from '../plane/bytes.ts';
import {
  NO_BANDS,
  type OutputRows,
  outputRows,
  type PictureEncoder,
  type PictureInfo,
  type PictureWriter,
} from '../plane/picture.ts';

/**
 * Writes what an encoder makes, forward only, from rows as they come. Memory is bounded by the rows that the encoder takes
 * together.
 * @throws RangeError where rows are given that the picture does not have, or `finish` is called before all came: defects of
 * the caller. What the sink throws is passed on.
 */
export const encodedWriter = async (
  sink: ByteSink,
  { width, height, bands, sample }: PictureInfo,
  encoder: PictureEncoder,
): Promise<PictureWriter> => {
  let at = 0;
  let sum = NO_BANDS;
  const append = async (bytes: Uint8Array) => {
    const place = at;
    at += bytes.length;
    await sink.writeAt(place, bytes);
  };
  await append(encoder.head);
  const row = width * bands;
  const held = outputRows(sample, row * Math.min(height, encoder.rows));
  let above: OutputRows | undefined;
  let [filled, begun, written] = [0, 0, 0];
  const encode = async () => {
    const rows = held.subarray(0, filled);
    const band = encoder.encode(rows, begun, above);
    for (const bytes of band.bytes) await append(bytes);
    sum = encoder.join(sum, band);
    if (encoder.above > 0) above = rows.slice(-row);
    begun += filled / row;
    filled = 0;
  };
  return {
    async writeRows(rows) {
      if (rows.BYTES_PER_ELEMENT !== held.BYTES_PER_ELEMENT) throw new RangeError(`expected ${sample} samples`);
      if (rows.length % row !== 0) throw new RangeError('expected whole rows');
      written += rows.length / row;
      if (written > height) throw new RangeError('more rows than the picture has');
      for (let from = 0; from < rows.length; ) {
        const some = rows.subarray(from, from + held.length - filled);
        held.set(some, filled);
        filled += some.length;
        from += some.length;
        if (filled === held.length) await encode();
      }
    },
    async finish() {
      if (written !== height) throw new RangeError('fewer rows than the picture has');
      if (filled > 0) await encode();
      await append(encoder.tail(sum));
    },
  };
};
