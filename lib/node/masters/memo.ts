import type { FindingKind } from '../cache/finding-kinds.ts';
import type { FindingsCache } from '../cache/findings-cache.ts';
import { fileIdentity, type Recollection } from '../files/file-identity.ts';
import type { Master } from './master.ts';

/** Where findings of a kind are remembered: for as long as the process lives, and in a folder for later ones. */
export interface Memory<T> {
  readonly kind: FindingKind<T>;
  readonly known: Recollection<T>;
  readonly cache: FindingsCache;
}

/** What is found of masters; not again where this process or an earlier one did the same for the same files before. */
export const findOnce = async <T>(
  { kind, known, cache }: Memory<T>,
  /** All that the finding depends on but for the files. */
  question: unknown,
  masters: readonly Master[],
  find: () => Promise<T>,
  /** Whether what a folder held can be of these masters. */
  fits: (answer: T) => boolean = () => true,
): Promise<T> => {
  const inputs = masters.map(({ spelling, files }) => [spelling, files.map(({ bytes }) => fileIdentity(bytes.path))]);
  const key = JSON.stringify([question, inputs]);
  const before = known.get(key);
  if (before !== undefined) return before;
  const asked = [question, masters.map(({ spelling }) => spelling)];
  const paths = [...new Set(masters.flatMap(({ files }) => files.map(({ bytes }) => bytes.path)))];
  // Not remembered in this process before it is checked.
  const kept = cache.get(kind, asked, paths);
  if (kept !== undefined && fits(kept)) return kept;
  const found = await find();
  known.set(key, found);
  cache.set(kind, asked, paths, found);
  return found;
};
