import { closeSync } from 'node:fs';
import { formatError } from '../../plane/errors.ts';
import type { FilePicture } from '../../plane/origin.ts';
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
