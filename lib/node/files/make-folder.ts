import { mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/**
 * Makes a folder and those above it where they do not exist; returns the first that was made, undefined for none. It goes
 * up once and down once: Node's own recursive `mkdir` goes on for ever where a file system answers that there is no such
 * folder whatever is made first, as that of `/proc` does.
 * @throws the system's error
 */
export const makeFolders = (folder: string, mode = 0o777): string | undefined => {
  const path = resolve(folder);
  try {
    mkdirSync(path, mode);
    return path;
  } catch (cause) {
    const { code } = cause as NodeJS.ErrnoException;
    if (code === 'EEXIST' && isFolder(path)) return undefined;
    if (code !== 'ENOENT' || dirname(path) === path || isFolder(dirname(path))) throw cause;
  }
  const first = makeFolders(dirname(path), mode);
  // Another process may have made it meanwhile.
  return makeOne(path, mode) ? (first ?? path) : first;
};

/** Whether it was made; not where it is there already. */
const makeOne = (path: string, mode: number): boolean => {
  try {
    mkdirSync(path, mode);
    return true;
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code === 'EEXIST' && isFolder(path)) return false;
    throw cause;
  }
};

const isFolder = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;
