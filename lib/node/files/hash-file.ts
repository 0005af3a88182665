import { createHash } from 'node:crypto';
import { closeSync, readSync } from 'node:fs';
import { recollection } from './file-identity.ts';
import { openToRead } from './open-sync.ts';

/** Bytes read at a time: they stay in the cache until they are hashed. */
const BLOCK = 1 << 18;

/**
 * SHA-256 of a file in hexadecimal; blocks the thread. `goesOn` is asked now and then; where it says no, the result is
 * undefined.
 * @throws LinewashError 'input' where the file cannot be opened
 */
export const hashFile = (path: string, goesOn: () => boolean = () => true): string | undefined => {
  const file = openToRead(path);
  try {
    const hash = createHash('sha256');
    const block = Buffer.allocUnsafeSlow(BLOCK);
    for (;;) {
      const count = readSync(file, block, 0, BLOCK, null);
      if (count === 0) return hash.digest('hex');
      hash.update(count === BLOCK ? block : block.subarray(0, count));
      if (!goesOn()) return undefined;
    }
  } finally {
    closeSync(file);
  }
};

const known = recollection<string>(4096);

/** The hash of a file that this process has hashed before and that did not change since; by `fileIdentity`. */
export const knownHash = (identity: string): string | undefined => known.get(identity);

/**
 * Remembers a hash for as long as the process lives.
 * @param identity what the file was before it was hashed: one that changed meanwhile is then not taken for the new one
 */
export const rememberHash = (identity: string, hash: string): void => known.set(identity, hash);
