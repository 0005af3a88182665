import { createHash, randomBytes } from 'node:crypto';
import {
  closeSync,
  constants,
  fstatSync,
  futimesSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import * as v from 'valibot';
import { makeFolders } from '../files/make-folder.ts';
import { isOwn, isOwnFolder } from './cache-folder.ts';

const SHA256 = /^[0-9a-f]{64}$/;

const entrySchema = v.object({
  key: v.string(),
  /** SHA-256 of the files that the answer is about, by path. */
  hashes: v.record(v.string(), v.pipe(v.string(), v.regex(SHA256))),
  answer: v.unknown(),
});

/** An answer with what it was asked and of which files; only the answer's own shape is not known here. */
export interface Entry extends v.InferOutput<typeof entrySchema> {}

/** Entries beyond this are dropped, those first that were not used for longest. */
const MOST = 1000;
/** The longest entry in bytes; those that linewash writes are a few kilobytes. */
const LONGEST = 4 << 20;

const digest = (text: string): string => createHash('sha256').update(text).digest('hex');

const nameOf = (key: string): string => `${digest(key).slice(0, 40)}.json`;

/**
 * The entry of a key. Undefined where there is none, and where it cannot be believed: damaged, of another shape, no plain
 * file, or in a place where others can write. Never throws.
 */
export const readEntry = (folder: string, key: string): Entry | undefined => {
  if (!isOwnFolder(folder)) return undefined;
  const text = readOwn(join(folder, nameOf(key)));
  if (text === undefined) return undefined;
  const entry = parsed(text);
  if (entry?.key === key) return entry;
  dropEntry(folder, key);
  return undefined;
};

/** Neither a link nor a pipe is followed or waited for. Notes that the file was used. */
const readOwn = (path: string): string | undefined => {
  let file: number | undefined;
  try {
    file = openSync(path, constants.O_RDONLY | (constants.O_NOFOLLOW ?? 0) | (constants.O_NONBLOCK ?? 0));
    const facts = fstatSync(file);
    if (!facts.isFile() || facts.size > LONGEST || !isOwn(facts)) return undefined;
    const now = new Date();
    futimesSync(file, now, now);
    return readFileSync(file, 'utf8');
  } catch {
    return undefined;
  } finally {
    if (file !== undefined) closeSync(file);
  }
};

/** The first line is the checksum of the second. */
const parsed = (text: string): Entry | undefined => {
  const [sum, body] = text.split('\n');
  if (body === undefined || sum !== digest(body)) return undefined;
  try {
    const { success, output } = v.safeParse(entrySchema, JSON.parse(body));
    return success ? output : undefined;
  } catch {
    return undefined; // no JSON, or nested too deep to be read
  }
};

/** Keeps an entry, if that is possible and nobody else can write there. Never throws. */
export const writeEntry = (folder: string, entry: Entry): void => {
  const text = JSON.stringify(entry);
  const temporary = join(folder, `.${randomBytes(8).toString('hex')}`);
  try {
    makeFolders(folder, 0o700);
    if (!isOwnFolder(folder)) return;
    writeFileSync(temporary, `${digest(text)}\n${text}`, { flag: 'wx', mode: 0o600 });
    renameSync(temporary, join(folder, nameOf(entry.key)));
  } catch {
    drop(temporary);
  }
};

/** Forgets what is kept under a key. Never throws. */
export const dropEntry = (folder: string, key: string): void => drop(join(folder, nameOf(key)));

const drop = (file: string): void => {
  try {
    rmSync(file, { force: true });
  } catch {
    // What cannot be removed is not believed either.
  }
};

/** Also removes what runs that were killed left behind. */
export const pruneEntries = (folder: string): void => {
  try {
    const names = readdirSync(folder).filter((name) => /^([0-9a-f]{40}\.json|\.[0-9a-f]{16})$/.test(name));
    if (names.length <= MOST) return;
    const byAge = names
      .map((name) => ({ name, time: statSync(join(folder, name)).mtimeMs }))
      .sort((a, b) => a.time - b.time);
    for (const { name } of byAge.slice(0, names.length - MOST / 2)) drop(join(folder, name));
  } catch {
    // Another run is pruning.
  }
};
