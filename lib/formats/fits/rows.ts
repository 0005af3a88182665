import { BYTES_PER_SAMPLE, type Samples, type SampleType } from '../../plane/plane.ts';
import type { FitsBytes } from './bytes.ts';
import { type Stored, scaleSamples, scaleSamples64, swapSamples } from './samples.ts';
import type { Scaling } from './scaling.ts';

/** Where an uncompressed picture lies and what its samples mean. */
export interface RowLayout {
  readonly width: number;
  readonly height: number;
  /** Byte offset of the first stored row. */
  readonly offset: number;
  readonly stored: SampleType;
  readonly scaling: Scaling;
  readonly bottomUp: boolean;
}

/** Bytes read at a time: enough to be fast, little enough to stay in the cache of a core. */
const CHUNK_BYTES = 1 << 20;

/**
 * A function that reads rows [y, y + rows), counted from the top, as physical values.
 * Memory beyond `into`: one chunk of 1 MiB, or one row where that is longer.
 */
export const rowReader = (bytes: FitsBytes, layout: RowLayout) => {
  const rowBytes = layout.width * BYTES_PER_SAMPLE[layout.stored];
  const chunkRows = Math.max(1, Math.floor(CHUNK_BYTES / rowBytes));
  return async (y: number, rows: number, into: Samples): Promise<void> => {
    const scratch = isDirect(layout, into) ? undefined : new ArrayBuffer(Math.min(rows, chunkRows) * rowBytes);
    const start = layout.bottomUp ? layout.height - y - rows : y;
    // In the file's order, which a source behind gzip can follow without going back.
    for (let done = 0; done < rows; done += chunkRows) {
      const count = Math.min(chunkRows, rows - done);
      const first = start + done;
      const block = await bytes.read(layout.offset + first * rowBytes, count * rowBytes);
      const at = (layout.bottomUp ? rows - done - count : done) * layout.width;
      if (scratch) {
        placeRows(block, rowBytes, count, layout.bottomUp, new Uint8Array(scratch));
        convert(scratch, count * layout.width, layout, into, at);
      } else {
        const place = into.byteOffset + at * into.BYTES_PER_ELEMENT;
        placeRows(block, rowBytes, count, layout.bottomUp, new Uint8Array(into.buffer, place, count * rowBytes));
        swapSamples(into.buffer as ArrayBuffer, place, count * layout.width, into.BYTES_PER_ELEMENT);
      }
    }
  };
};

/** Floats that need no arithmetic are swapped where the caller wants them. */
const isDirect = ({ stored, scaling }: RowLayout, into: Samples): boolean =>
  scaling.zero === 0 && scaling.scale === 1 && stored === (into instanceof Float32Array ? 'f32' : 'f64');

/** Copies stored rows to `target`, top first. */
const placeRows = (block: Uint8Array, rowBytes: number, rows: number, flip: boolean, target: Uint8Array): void => {
  if (!flip) target.set(block);
  else
    for (let row = 0; row < rows; row++)
      target.set(block.subarray(row * rowBytes, (row + 1) * rowBytes), (rows - 1 - row) * rowBytes);
};

const convert = (scratch: ArrayBuffer, count: number, layout: RowLayout, into: Samples, at: number): void => {
  swapSamples(scratch, 0, count, BYTES_PER_SAMPLE[layout.stored]);
  if (layout.stored === 'i64') scaleSamples64(new Uint32Array(scratch), count, layout.scaling, into, at);
  else scaleSamples(viewStored(scratch, layout.stored), count, layout.scaling, into, at);
};

const viewStored = (buffer: ArrayBuffer, type: SampleType): Stored => {
  switch (type) {
    case 'u8':
      return new Uint8Array(buffer);
    case 'i16':
      return new Int16Array(buffer);
    case 'i32':
      return new Int32Array(buffer);
    case 'f32':
      return new Float32Array(buffer);
    default:
      return new Float64Array(buffer);
  }
};
