import type { FilePicture, Origin } from '../plane/origin.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { memoryForm } from '../plane/sample-form.ts';
import { isWide, samplesFor } from '../plane/strips.ts';
import { type OpenPicture, originOpener } from './open-origin.ts';
import { type FlattenRow, flattenRows, type StoredRows, storedRows, storedSpan } from './stored-rows.ts';

/** Where the rows of one channel come from: any source, or bytes that a kernel decodes. */
export type BandInput =
  | { readonly source: PlaneSource }
  | {
      readonly stored: StoredRows;
      /** Brings bytes of the file, from `start` on, to fill the whole of `into`. */
      readonly read: (start: number, into: Uint8Array) => void | Promise<void>;
    };

/** How a thread gets at files. */
export interface FileAccess {
  /** Opens a picture of a file. */
  readonly open: OpenPicture;
  /** Brings bytes of a file, from `start` on, to fill the whole of `into`. */
  readonly read: (picture: FilePicture, start: number, into: Uint8Array) => void | Promise<void>;
}

/**
 * Makes the rows of an origin readable on this thread.
 * @param short whether the kernel they are for decodes stored rows
 * @param open one opener for all origins of a picture, so that what they share is computed once
 */
export const openInput = async (
  origin: Origin,
  short: boolean,
  files: FileAccess,
  open = originOpener(files.open),
): Promise<BandInput> => {
  const stored = short ? storedRows(origin) : undefined;
  return stored
    ? { stored, read: (start, into) => files.read(stored.picture, start, into) }
    : { source: await open(origin) };
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
