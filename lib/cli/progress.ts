import type { SafeStreams } from './streams.ts';

const WIDTH = 24;
/** A terminal is redrawn at most this often, in milliseconds. */
const INTERVAL = 80;

/** Shows how far long work has come. */
export interface Progress {
  /** `done` is the share of `stage` that is done, 0…1; `rest` says more in a few words. */
  show(stage: string, done: number, rest?: string): void;
  /** Removes what `show` left on a terminal. */
  clear(): void;
}

/** A bar on a terminal; nothing elsewhere, where only finished work is worth a message. */
export const progressOn = (streams: SafeStreams, quiet = false): Progress => {
  if (quiet || !streams.interactive) return { show() {}, clear() {} };
  let last = 0;
  let drawn = false;
  return {
    show(stage, done, rest = '') {
      const now = Date.now();
      if (done < 1 && now - last < INTERVAL) return;
      last = now;
      drawn = true;
      const full = Math.round(done * WIDTH);
      const bar = '━'.repeat(full) + '─'.repeat(WIDTH - full);
      streams.status(`${stage.padEnd(8)} ${bar} ${String(Math.round(done * 100)).padStart(3)} % ${rest}`.trimEnd());
    },
    clear() {
      if (drawn) streams.status('');
      drawn = false;
    },
  };
};
