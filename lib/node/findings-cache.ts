import { createHash, randomBytes } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { isAbsolute, join } from 'node:path';
import { VERSION } from '../plane/version.ts';
import { fileIdentity } from './file-identity.ts';
import type { Hashes, InputHashes } from './input-hashes.ts';

/**
 * What was found of masters, kept in a folder so that later runs need not measure them again. An entry is asked for by what
 * tells files from others (`fileIdentity`), used at once, and believed only when the SHA-256 of the files, which every
 * picture needs anyway, has proved to be the one that the entry was made for.
 */
export interface FindingsCache {
  /** Undefined where nothing is known. */
  get(kind: string, question: unknown, paths: readonly string[]): unknown;
  /** To be kept once the hashes are known; plain data that JSON holds without loss, else it is left out. */
  set(kind: string, question: unknown, paths: readonly string[], answer: unknown): void;
  /** The same hashes; what was used is checked with them before a picture is given its name, and what is new is kept. */
  checking(hashing: InputHashes): InputHashes;
}

/** An entry was made for other bytes: whatever was made with it must be made again without. */
export class StaleFindings extends Error {}

/** Knows nothing and keeps nothing. */
export const NO_CACHE: FindingsCache = { get: () => undefined, set: () => {}, checking: (hashing) => hashing };

/** Entries beyond this are dropped, those first that were not used for longest. */
const MOST = 1000;

interface Entry {
  readonly key: string;
  readonly hashes: Hashes;
  readonly answer: unknown;
}

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

/** The cache in a folder, which need not exist. Whatever is wrong with the folder, nothing fails: it is then of no use. */
export const findingsCache = (folder: string | undefined): FindingsCache => {
  if (folder === undefined) return NO_CACHE;
  const used = new Map<string, Entry>();
  const fresh = new Map<string, Omit<Entry, 'hashes'> & { paths: readonly string[] }>();
  return {
    get(kind, question, paths) {
      const key = keyOf(kind, question, paths);
      const entry = readEntry(folder, key);
      if (entry === undefined || paths.some((path) => entry.hashes[path] === undefined)) return undefined;
      used.set(key, entry);
      return entry.answer;
    },
    set(kind, question, paths, answer) {
      if (!isPlain(answer)) return;
      const key = keyOf(kind, question, paths);
      fresh.set(key, { key, answer, paths });
    },
    checking(hashing) {
      let hashes: Hashes = {};
      return {
        async finish(options) {
          hashes = await hashing.finish(options);
          return hashes;
        },
        verify() {
          hashing.verify();
          for (const entry of used.values()) {
            if (Object.entries(entry.hashes).every(([path, hash]) => hashes[path] === hash)) continue;
            for (const key of used.keys()) drop(join(folder, nameOf(key)));
            throw new StaleFindings(entry.key);
          }
          for (const { key, answer, paths } of fresh.values()) {
            const own = Object.fromEntries(paths.map((path) => [path, hashes[path]!]));
            if (Object.values(own).every(Boolean)) writeEntry(folder, { key, hashes: own, answer });
          }
          if (fresh.size > 0) prune(folder);
        },
      };
    },
  };
};

const keyOf = (kind: string, question: unknown, paths: readonly string[]): string =>
  JSON.stringify([VERSION, kind, question, paths.map((path) => [path, fileIdentity(path)])]);

const digest = (text: string): string => createHash('sha256').update(text).digest('hex');

const nameOf = (key: string): string => `${digest(key).slice(0, 40)}.json`;

const isPlain = (answer: unknown): boolean => {
  const text = JSON.stringify(answer, (_key, value) =>
    typeof value === 'number' && !Number.isFinite(value) ? FAULT : value,
  );
  return text !== undefined && !text.includes(JSON.stringify(FAULT));
};
/** Stands for a number that JSON does not hold. */
const FAULT = '\u0000not finite';

/** The first line is the checksum of the second. */
const readEntry = (folder: string, key: string): Entry | undefined => {
  const file = join(folder, nameOf(key));
  try {
    const [sum, text] = readFileSync(file, 'utf8').split('\n') as [string, string];
    if (sum !== digest(text)) return undefined;
    const entry = JSON.parse(text) as Entry;
    if (entry.key !== key) return undefined;
    const now = new Date();
    utimesSync(file, now, now);
    return entry;
  } catch {
    return undefined;
  }
};

const writeEntry = (folder: string, entry: Entry): void => {
  const text = JSON.stringify(entry);
  const temporary = join(folder, `.${randomBytes(8).toString('hex')}`);
  try {
    mkdirSync(folder, { recursive: true });
    writeFileSync(temporary, `${digest(text)}\n${text}`, { flag: 'wx', mode: 0o600 });
    renameSync(temporary, join(folder, nameOf(entry.key)));
  } catch {
    drop(temporary);
  }
};

const drop = (file: string): void => {
  try {
    rmSync(file, { force: true });
  } catch {
    // What cannot be removed is not believed either.
  }
};

/** Also removes what runs that were killed left behind. */
const prune = (folder: string): void => {
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
