import type { PlaneSource, Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import { isWide, samplesFor } from '../plane/strips.ts';
import { type FlattenRow, flattenRows, type StoredRows, storedSpan } from './stored-rows.ts';

/** Where the rows of one channel come from: any source, or bytes that a kernel decodes. */
export type BandInput =
  | { readonly source: PlaneSource }
  | {
      readonly stored: StoredRows;
      /** Brings bytes of the file, from `start` on, to fill the whole of `into`. */
      readonly read: (start: number, into: Uint8Array) => void | Promise<void>;
    };

/** How rows lie in a kernel's memory once a filler has brought them there. */
export const inputForm = (input: BandInput): StoredRows['form'] =>
  'stored' in input ? input.stored.form : { ...memoryForm(samplesFor(input.source, 0)), bottomUp: false };

/** Brings rows [y, y + rows) to the start of a kernel's memory. */
export type Fill = (y: number, rows: number) => void | Promise<void>;

/** @param memory room for the rows in their form @param flatten how the kernel takes a surface off a row there */
export const rowFiller = (input: BandInput, memory: Uint8Array<ArrayBuffer>, flatten: FlattenRow): Fill => {
  if ('source' in input) {
    const { buffer, byteOffset, byteLength } = memory;
    const samples: Samples = isWide(input.source)
      ? new Float64Array(buffer, byteOffset, byteLength / 8)
      : new Float32Array(buffer, byteOffset, byteLength / 4);
    return (y, rows) => input.source.readRows(y, rows, samples);
  }
  const { stored, read } = input;
  return (y, rows) => {
    const { start, length } = storedSpan(stored, y, rows);
    const done = read(start, memory.subarray(0, length));
    const level = () => flattenRows(stored, [y, rows], memory, flatten);
    return done ? done.then(level) : level();
  };
};
