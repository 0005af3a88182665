import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Test files below a folder of the repository whose path contains one of `words`, all where there are none; as absolute paths in order. */
export const testFiles = (folder, words) => {
  const from = join(root, folder);
  if (!existsSync(from)) return [];
  return readdirSync(from, { recursive: true })
    .filter((name) => name.endsWith('.test.ts'))
    .map((name) => join(from, name))
    .filter((path) => words.length === 0 || words.some((word) => path.slice(root.length).includes(word)))
    .sort();
};
