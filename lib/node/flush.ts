import { open } from 'node:fs/promises';
import { setTimeout as wait } from 'node:timers/promises';

/** Pause between two looks for what is to be sent to the disk, in ms. */
const PAUSE = 15;

/**
 * Sends what is written to a file to the disk while more is being written, so that little is left to wait for when it is
 * closed. Returns what ends it. Never throws: faults of the disk are told by whoever writes and closes.
 */
export const flushMeanwhile = (path: string): (() => Promise<void>) => {
  let going = true;
  const flush = async () => {
    const handle = await open(path, 'r+');
    try {
      for (; going; await wait(PAUSE)) await handle.datasync();
    } finally {
      await handle.close();
    }
  };
  const done = flush().catch(() => {});
  return () => {
    going = false;
    return done;
  };
};
