import { VERSION } from '../../plane/version.ts';
import { fileIdentity } from '../files/file-identity.ts';
import type { Hashes, InputHashes } from '../files/input-hashes.ts';
import { ALGORITHMS } from './algorithms.ts';
import { dropEntry, type Entry, pruneEntries, readEntry, writeEntry } from './cache-entries.ts';
import type { FindingKind } from './finding-kinds.ts';

/**
 * What was found of masters, kept in a folder so that later runs need not measure them again. An entry is asked for by what
 * tells files from others (`fileIdentity`), used at once, and believed only when the SHA-256 of the files, which every
 * picture needs anyway, has proved to be the one that the entry was made for.
 */
export interface FindingsCache {
  /** Undefined where nothing is known, or where what is kept has not the shape of its kind. */
  get<T>(kind: FindingKind<T>, question: unknown, paths: readonly string[]): T | undefined;
  /** To be kept once the hashes are known; plain data that JSON holds without loss, else it is left out. */
  set<T>(kind: FindingKind<T>, question: unknown, paths: readonly string[], answer: T): void;
  /** The same hashes; what was used is checked with them before a picture is given its name, and what is new is kept. */
  checking(hashing: InputHashes): InputHashes;
}

/** An entry was made for other bytes: whatever was made with it must be made again without. */
export class StaleFindings extends Error {}

/** Knows nothing and keeps nothing. */
export const NO_CACHE: FindingsCache = { get: () => undefined, set: () => {}, checking: (hashing) => hashing };

/** The cache in a folder, which need not exist. Whatever is wrong with the folder, nothing fails: it is then of no use. */
export const findingsCache = (folder: string | undefined): FindingsCache => {
  if (folder === undefined) return NO_CACHE;
  const used = new Map<string, Entry>();
  const fresh = new Map<string, Omit<Entry, 'hashes'> & { paths: readonly string[] }>();
  return {
    get(kind, question, paths) {
      const key = keyOf(kind.name, question, paths);
      const entry = readEntry(folder, key);
      if (entry === undefined) return undefined;
      if (!kind.accepts(entry.answer) || paths.some((path) => entry.hashes[path] === undefined)) {
        dropEntry(folder, key);
        return undefined;
      }
      used.set(key, entry);
      return entry.answer;
    },
    set(kind, question, paths, answer) {
      if (!isPlain(answer)) return;
      const key = keyOf(kind.name, question, paths);
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
            for (const key of used.keys()) dropEntry(folder, key);
            throw new StaleFindings(entry.key);
          }
          for (const { key, answer, paths } of fresh.values()) {
            const own = Object.fromEntries(paths.map((path) => [path, hashes[path]!]));
            if (Object.values(own).every(Boolean)) writeEntry(folder, { key, hashes: own, answer });
          }
          if (fresh.size > 0) pruneEntries(folder);
        },
      };
    },
  };
};

/** What computed an answer: another version, build or engine may compute another in the last digit. */
const COMPUTED_BY = [VERSION, ALGORITHMS, process.versions.v8];

const keyOf = (kind: string, question: unknown, paths: readonly string[]): string =>
  JSON.stringify([...COMPUTED_BY, kind, question, paths.map((path) => [path, fileIdentity(path)])]);

const isPlain = (answer: unknown): boolean => {
  const text = JSON.stringify(answer, (_key, value) =>
    typeof value === 'number' && !Number.isFinite(value) ? FAULT : value,
  );
  return text !== undefined && !text.includes(JSON.stringify(FAULT));
};
/** Stands for a number that JSON does not hold. */
const FAULT = '\u0000not finite';
