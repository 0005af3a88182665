import { stat } from 'node:fs/promises';
import { resolve } from 'node:path';
import { LinewashError } from '../../plane/errors.ts';
import { type FileChoice, splitFiles } from '../files/spelling.ts';
import { starFiles } from '../masters/star-files.ts';
import type { BatchWork } from './jobs.ts';
import { nameKey } from './safe-name.ts';

/** A file that would be written, and for what. */
interface Claim {
  readonly path: string;
  readonly owner: string;
}

/**
 * Refuses work whose results would overwrite each other, on this file system or on one that takes `A` for `a` or does
 * not know Unicode forms apart, or would lie inside each other, or be one of the masters or of the pictures of stars.
 * @param others further files that will be written
 * @throws LinewashError 'input' naming both sides of each collision
 */
export const refuseCollisions = async (work: BatchWork, others: readonly Claim[] = []): Promise<void> => {
  const claims: Claim[] = [
    ...work.jobs.flatMap(({ pictures }) =>
      pictures.map(({ target, recipe, output }) => ({ path: output, owner: `${target} by ${recipe}` })),
    ),
    ...(work.sheet ? [{ path: work.sheet.file, owner: 'the sheet' }] : []),
    ...others,
  ];
  const found = [...meetings(claims), ...(await mastersAmong(claims, work))];
  if (found.length === 0) return;
  const shown = found.slice(0, 10).join('; ');
  throw new LinewashError({
    tag: 'input',
    message: `${found.length === 1 ? 'a name is' : `${found.length} names are`} used twice: ${shown}`,
    advice: 'put {target} and {recipe} into the outputs’ names, or give targets and recipes names of their own',
  });
};

const meetings = (claims: readonly Claim[]): string[] => {
  const byKey = new Map<string, Claim>();
  const found: string[] = [];
  for (const claim of claims) {
    const key = nameKey(resolve(claim.path));
    const other = byKey.get(key);
    if (other === undefined) byKey.set(key, claim);
    else found.push(`${claim.path} (${other.owner}; ${claim.owner})`);
  }
  for (const [key, claim] of byKey)
    for (let at = key.lastIndexOf('/'); at > 0; at = key.lastIndexOf('/', at - 1)) {
      const folder = byKey.get(key.slice(0, at));
      if (folder !== undefined) found.push(`${folder.path} (a file of ${folder.owner}, a folder of ${claim.owner})`);
    }
  return found;
};

/** Masters are compared by device and inode, so that links and other spellings are seen through. */
const mastersAmong = async (claims: readonly Claim[], { jobs }: BatchWork): Promise<string[]> => {
  const pictures = jobs.flatMap((job) => job.pictures);
  const spellings = new Set(pictures.flatMap(({ inputs }) => Object.values(inputs)));
  const starred = new Set(pictures.flatMap(({ stars }) => stars ?? []));
  const files: FileChoice[] = [];
  for (const spelling of spellings) files.push(...(await splitFiles(spelling)));
  for (const spelling of starred) files.push(...(await starFiles(spelling)));
  const masters = new Map<string, string>();
  for (const { path } of files) {
    const id = await identityOf(path);
    if (id !== undefined) masters.set(id, path);
  }
  const found: string[] = [];
  for (const { path, owner } of claims) {
    const master = masters.get((await identityOf(path)) ?? '');
    if (master !== undefined) found.push(`${path} (a master; ${owner})`);
  }
  return found;
};

const identityOf = async (path: string): Promise<string | undefined> => {
  const facts = await stat(path).catch(() => undefined);
  return facts && `${facts.dev}:${facts.ino}`;
};
