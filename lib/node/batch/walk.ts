import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { inputError } from '../../plane/errors.ts';
import { reasonOf } from '../files/reason.ts';
import { isTemporary } from '../files/temporary.ts';
import { type Match, matchPart } from './pattern.ts';

/** Folders below each other that are searched at most. */
const MOST_FILES = 100_000;

/** A file that a pattern found. */
export interface Found extends Match {
  readonly path: string;
}

/**
 * The files below a folder that the parts of a pattern match, in the order of their names.
 * @throws LinewashError 'input' where the folder cannot be read, or too many match
 */
export const walk = async (
  folder: string,
  parts: readonly string[],
  isLine: (text: string) => boolean,
): Promise<Found[]> => {
  let at: Found[] = [{ path: folder }];
  for (const [i, part] of parts.entries()) {
    const last = i === parts.length - 1;
    const next: Found[] = [];
    for (const before of at)
      for (const name of await namesIn(before.path, i === 0)) {
        const match = matchPart(part, name, before, isLine);
        if (match === undefined) continue;
        const path = join(before.path, name);
        const facts = await stat(path).catch(() => undefined);
        if (last ? facts?.isFile() : facts?.isDirectory()) next.push({ ...match, path });
      }
    if (next.length > MOST_FILES) throw inputError(`more than ${MOST_FILES} files match`, 'narrow the pattern', folder);
    at = next;
  }
  return at;
};

/** Names in a folder, sorted; those that start with a dot are not meant. A folder below that cannot be read is empty. */
const namesIn = async (folder: string, top: boolean): Promise<string[]> => {
  const names = await readdir(folder).catch((cause) => {
    if (top) throw inputError(`cannot be read: ${reasonOf(cause)}`, 'check "folder"', folder);
    return [] as string[];
  });
  return names.filter((name) => !name.startsWith('.') && !isTemporary(name)).sort();
};
