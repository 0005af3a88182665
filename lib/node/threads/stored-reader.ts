import { closeSync } from 'node:fs';
import { formatError } from '../../plane/errors.ts';
import type { FilePicture } from '../../plane/origin.ts';
import { type FlattenRow, flattenRows, type StoredRows, storedSpan } from '../../render/stored-rows.ts';
import { openToRead } from '../files/open-sync.ts';
import { readFully } from '../files/read-fully.ts';

/** The bytes of an open file; reading blocks the thread. */
export interface StoredBytes {
  /** Fills the whole of `into`. @throws LinewashError 'format' where the file ends early */
  read(start: number, into: Uint8Array): void;
  close(): void;
}

export const openStored = ({ at, file }: FilePicture): StoredBytes => {
  const handle = openToRead(at as string, file);
  return {
    read(start, into) {
      if (readFully(handle, start, into) < into.length)
        throw formatError(file, 'the file became shorter while it was read', 'copy or export it again');
    },
    close: () => closeSync(handle),
  };
};

/** Brings rows [y, y + rows), counted from the top, from an open file to where a kernel reads them. */
export const readStored = (
  bytes: StoredBytes,
  stored: StoredRows,
  [y, rows]: readonly [y: number, rows: number],
  into: Uint8Array,
  flatten: FlattenRow,
): void => {
  const { start, length } = storedSpan(stored, y, rows);
  bytes.read(start, into.subarray(0, length));
  flattenRows(stored, [y, rows], into, flatten);
};
