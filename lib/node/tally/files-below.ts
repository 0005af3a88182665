import type { Dirent } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { basename, join, resolve } from 'node:path';
import { inputError } from '../../plane/errors.ts';
import { reasonOf } from '../files/reason.ts';

/** Something below a folder: a file, or what is passed over and why. */
export interface Below {
  /** As the user would name it. */
  readonly path: string;
  /** The same from the folder's own name on, with `/` between. */
  readonly within: string;
  readonly reason?: string;
}

interface Place {
  readonly path: string;
  readonly within: string;
}

/** Kept small by going through one folder after the other; a folder that is named twice is gone through once. */
const placesOf = async (folders: readonly string[]): Promise<Place[]> => {
  const places: Place[] = [];
  for (const path of folders) {
    const facts = await stat(path).catch((cause) => {
      throw inputError(`cannot be read: ${reasonOf(cause)}`, 'name the folder of the sub-exposures', path);
    });
    if (!facts.isDirectory()) throw inputError('is not a folder', 'name the folder of the sub-exposures', path);
    places.push({ path, within: basename(resolve(path)) });
  }
  return places;
};

/** Device and inode: the same for one folder, however it is reached. */
const identityOf = async (path: string): Promise<string> => {
  const { dev, ino } = await stat(path, { bigint: true });
  return `${dev}:${ino}`;
};

/**
 * Everything below folders, in order of names; hidden files are passed over without a word. Links are not followed, so
 * that nothing counts twice and no circle is entered, and only regular files are opened, as others may never answer.
 * @throws LinewashError 'input' where one of the folders cannot be read
 */
export async function* filesBelow(folders: readonly string[]): AsyncGenerator<Below> {
  const seen = new Set<string>();
  const waiting = (await placesOf(folders)).reverse();
  const roots = new Set(waiting);
  for (let place = waiting.pop(); place !== undefined; place = waiting.pop()) {
    try {
      const identity = await identityOf(place.path);
      if (seen.has(identity)) continue;
      seen.add(identity);
      const below: Place[] = [];
      for (const entry of (await readdir(place.path, { withFileTypes: true })).sort(byName)) {
        if (entry.name.startsWith('.')) continue;
        const next = { path: join(place.path, entry.name), within: `${place.within}/${entry.name}` };
        if (entry.isDirectory()) below.push(next);
        else yield { ...next, ...passedOver(entry) };
      }
      waiting.push(...below.reverse());
    } catch (cause) {
      const reason = `cannot be read: ${reasonOf(cause)}`;
      if (roots.has(place)) throw inputError(reason, 'name the folder of the sub-exposures', place.path);
      yield { ...place, reason };
    }
  }
}

const passedOver = (entry: Dirent): { readonly reason?: string } => {
  if (entry.isFile()) return {};
  return { reason: entry.isSymbolicLink() ? 'a link, and links are not followed' : 'not a regular file' };
};

const byName = (a: Dirent, b: Dirent): number => (a.name < b.name ? -1 : 1);
