import type { FilePicture, Origin } from '../plane/origin.ts';
import type { BandInput } from './band-input.ts';
import { type OpenPicture, originOpener } from './open-origin.ts';
import { storedRows } from './stored-rows.ts';

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
