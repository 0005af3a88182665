import { statSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { startEarly } from '../node/crew-helper.ts';

/** Bytes of a master from which a second thread is worth its start. */
const LARGE = 1 << 22;

/** Starts a thread at once where a command is going to need it: a mix of large masters. */
export const prepareThreads = (words: readonly string[]): void => {
  if (words[0] !== 'mix' || availableParallelism() === 1 || words.some((word) => word.startsWith('--threads'))) return;
  if (words.some((word) => sizeOf(word.slice(word.indexOf('=') + 1)) >= LARGE)) startEarly();
};

const sizeOf = (path: string): number => {
  try {
    return statSync(path).size;
  } catch {
    return 0; // not a file: what it is instead is found out later
  }
};
