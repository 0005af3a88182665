import { createCounter } from '../../measure/counter.ts';
import type { LowerCounts, UpperCounts } from '../../plane/counting.ts';
import { eachMarked, type Mask } from '../../plane/mask.ts';
import { BYTES_PER_SAMPLE, type SampleType } from '../../plane/plane.ts';
import type { StoredRows } from '../../render/stored-rows.ts';
import { openStored, readStored } from './stored-reader.ts';

/** Counting the values of one master, strip by strip. Plain data. */
export interface CountJob {
  readonly rows: StoredRows;
  /** Pixels that do not count; not for wide integers. */
  readonly mask?: Mask | undefined;
  readonly pedestal: number;
  /** Bins whose lower halves to count; empty for a first pass. */
  readonly bins: readonly number[];
  /** Rows of a strip. */
  readonly stripRows: number;
}

export interface CountShare {
  readonly upper?: UpperCounts;
  readonly lower?: LowerCounts;
}

/** One thread's share in counting. */
export const createCountRunner = (job: CountJob) => {
  const { rows: source, mask, pedestal, bins, stripRows } = job;
  const { form, width, height } = source;
  // Integers have no number to stand for pixels that do not count.
  const decodes = mask !== undefined && form.type !== 'f32' && form.type !== 'f64';
  const counter = createCounter({ form, pedestal, most: width * Math.min(stripRows, height), bins, decodes });
  const handle = openStored(source.picture);
  return {
    run(strip: number): void {
      const y = strip * stripRows;
      const rows = Math.min(stripRows, height - y);
      readStored(handle, source, [y, rows], counter.samples, (row, ...line) =>
        counter.flatten(row * width, width, ...line),
      );
      const decoded = decodes ? counter.decode(rows * width) : undefined;
      if (mask !== undefined)
        hide(mask, y, rows, decoded ? bytesOf(decoded) : counter.samples, decodes ? 'f32' : form.type, source);
      if (bins.length === 0) counter.count(rows * width);
      else counter.refine(rows * width);
    },
    share: (): CountShare => (bins.length === 0 ? { upper: counter.upper() } : { lower: counter.lower() }),
    close(): void {
      counter.release();
      handle.close();
    },
  };
};

const bytesOf = ({ buffer, byteOffset, byteLength }: Float32Array): Uint8Array =>
  new Uint8Array(buffer, byteOffset, byteLength);

/** Makes marked samples NaN: all bits set are one in either byte order and both widths of floats. */
const hide = (
  mask: Mask,
  y: number,
  rows: number,
  samples: Uint8Array,
  type: SampleType,
  { form, width }: StoredRows,
): void => {
  const words = new Uint32Array(samples.buffer, samples.byteOffset, samples.byteLength >> 2);
  const each = BYTES_PER_SAMPLE[type] / 4;
  eachMarked(mask, y, rows, (index) => {
    const row = Math.floor(index / width);
    const stored = form.bottomUp ? index + (rows - 1 - 2 * row) * width : index;
    for (let k = 0; k < each; k++) words[stored * each + k] = 0xffffffff;
  });
};
