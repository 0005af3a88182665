import { type Stats, statSync } from 'node:fs';
import { homedir } from 'node:os';
import { isAbsolute, join } from 'node:path';

/** Where findings are kept unless a user says otherwise; undefined where the environment forbids it (`off`). */
export const usualCacheFolder = (): string | undefined => {
  const { LINEWASH_CACHE: chosen, XDG_CACHE_HOME: caches } = process.env;
  if (chosen !== undefined && chosen !== '') return chosen === 'off' ? undefined : chosen;
  // The XDG Base Directory Specification has relative paths ignored.
  const folder = caches && isAbsolute(caches) ? caches : homeCaches();
  return folder && join(folder, 'linewash');
};

/** Undefined for a user without a home, as programs in containers often are. */
const homeCaches = (): string | undefined => {
  try {
    return join(homedir(), '.cache');
  } catch {
    return undefined;
  }
};

/** Whether only this user can have written to a file or folder; always where the system knows no owners. */
export const isOwn = ({ uid, mode }: Pick<Stats, 'uid' | 'mode'>): boolean =>
  process.getuid === undefined || (uid === process.getuid() && (mode & WRITABLE_BY_OTHERS) === 0);
const WRITABLE_BY_OTHERS = 0o022;

/** Whether what lies in a folder may be believed: it is there, and nobody else can put files into it. Never throws. */
export const isOwnFolder = (folder: string): boolean => {
  try {
    const facts = statSync(folder);
    return facts.isDirectory() && isOwn(facts);
  } catch {
    return false;
  }
};
