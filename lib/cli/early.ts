import { statSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { startEarly } from '../node/threads/pool-thread.ts';

/** Bytes of a master from which a second thread is worth its start. */
const LARGE = 1 << 22;

/** Verbs that measure masters. */
const VERBS: readonly (string | undefined)[] = ['mix', 'sheet', 'measure', 'suggest', 'hours'];

/** Starts a thread at once where a command is going to need it: for large masters. */
export const prepareThreads = (words: readonly string[]): void => {
  if (!VERBS.includes(words[0]) || availableParallelism() === 1) return;
  if (words.some((word) => word.startsWith('--threads'))) return;
  if (words.some((word) => sizeOf(word.slice(word.indexOf('=') + 1)) >= LARGE)) startEarly();
};

const sizeOf = (path: string): number => {
  try {
    return statSync(path).size;
  } catch {
    return 0; // not a file: what it is instead is found out later
  }
};
