import { createHash } from 'node:crypto';
import { lstatSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Every file below a folder by its relative path, sorted. */
export const filesBelow = (folder) => {
  try {
    return readdirSync(folder, { recursive: true })
      .map(String)
      .filter((name) => lstatSync(join(folder, name)).isFile())
      .sort();
  } catch (cause) {
    if (cause.code === 'ENOENT') return [];
    throw cause;
  }
};

export const isTemporary = (name) => name.endsWith('.linewash-part');

/** Relative path → SHA-256 of all finished files below a folder. */
export const hashesBelow = (folder) =>
  Object.fromEntries(
    filesBelow(folder)
      .filter((name) => !isTemporary(name))
      .map((name) => [
        name,
        createHash('sha256')
          .update(readFileSync(join(folder, name)))
          .digest('hex'),
      ]),
  );
