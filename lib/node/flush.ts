import { open } from 'node:fs/promises';
import { setTimeout as wait } from 'node:timers/promises';

/** Pause in ms: what has nothing to send shall not keep a processor busy. */
const PAUSE = 1;

/**
 * Sends what is written to a file to the disk while more is being written, again and again: then hardly anything is
 * left to wait for when it is closed. Returns what ends it. Never throws: faults of the disk are told by
 * whoever writes and closes.
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
