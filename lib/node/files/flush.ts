import { open } from 'node:fs/promises';
import { setTimeout as wait } from 'node:timers/promises';

/** In ms: where sending took no longer there was nothing to send, and looking on would keep a processor busy. */
const PAUSE = 1;

/**
 * Sends what is written to a file to the disk while more is being written, again and again: then hardly anything is
 * left to wait for when it is closed. Returns what ends it. Never throws: faults of the disk are told by whoever writes
 * and closes.
 */
export const flushMeanwhile = (path: string): (() => Promise<void>) => {
  let going = true;
  const flush = async () => {
    const handle = await open(path, 'r+');
    try {
      while (going) {
        const began = performance.now();
        await handle.datasync();
        if (performance.now() - began < PAUSE) await wait(PAUSE);
      }
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
