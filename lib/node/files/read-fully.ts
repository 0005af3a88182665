import { readSync } from 'node:fs';

/**
 * Fills `into` with the bytes of an open file from `start` on, however often the system reads less than asked; blocks the
 * thread. Returns how many there were: fewer only where the file ends.
 */
export const readFully = (handle: number, start: number, into: Uint8Array): number => {
  let done = 0;
  while (done < into.length) {
    const count = readSync(handle, into, done, into.length - done, start + done);
    if (count === 0) break;
    done += count;
  }
  return done;
};
