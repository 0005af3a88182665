import { inputError } from '../../plane/errors.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { Pool } from '../threads/pool.ts';
import { fileFacts, fileIdentity } from './file-identity.ts';
import { knownHash, rememberHash } from './hash-file.ts';

/** SHA-256 in hexadecimal by path. */
export type Hashes = Readonly<Record<string, string>>;

/** The hashes of the files that go into a picture, which other threads begin with before anything else is known. */
export interface InputHashes {
  /** Hashes of all files; this thread takes those that none has begun. @throws LinewashError as a pool does */
  finish(options: StripOptions): Promise<Hashes>;
  /** @throws LinewashError 'input' once a file is not what it was at the beginning. */
  verify(): void;
}

/** So many bytes are hashed while one pixel is mixed: a thread takes longer to start than to hash three masters of 4 MB. */
const BYTES_A_PIXEL = 16;

/** Stands for a hash that is not known yet: of the same length. */
export const UNKNOWN_HASH = '0'.repeat(64);

/** Begins to hash files; those that this process has hashed before and that did not change are not read again. */
export const beginHashing = (paths: readonly string[], pool: Pool): InputHashes => {
  // Taken before anything is hashed: a hash must not be remembered for what a file became meanwhile.
  const before = new Map(paths.map((path) => [path, fileFacts(path)]));
  const known: Record<string, string> = {};
  let bytes = 0;
  for (const [path, { identity, size }] of before) {
    const hash = knownHash(identity);
    if (hash === undefined) bytes += size;
    else known[path] = hash;
  }
  const hashes = [...before.keys()].filter((path) => known[path] === undefined);
  const task = pool.begin({ hashes }, bytes / BYTES_A_PIXEL);
  return {
    async finish(options) {
      Object.assign(known, (await task.finish(options)).hashes);
      return known;
    },
    verify() {
      for (const [path, { identity }] of before) {
        if (identityNow(path) !== identity)
          throw inputError('changed while it was read', 'mix again when nothing writes to it any more', path);
      }
      for (const path of hashes) rememberHash(before.get(path)!.identity, known[path]!);
    },
  };
};

const identityNow = (path: string): string | undefined => {
  try {
    return fileIdentity(path);
  } catch {
    return undefined;
  }
};
