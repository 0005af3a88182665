import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Test files below a folder of the repository whose path contains `filter`, as absolute paths in order. */
export const testFiles = (folder, filter) => {
  const from = join(root, folder);
  if (!existsSync(from)) return [];
  return readdirSync(from, { recursive: true })
    .filter((name) => name.endsWith('.test.ts'))
    .map((name) => join(from, name))
    .filter((path) => path.slice(root.length).includes(filter))
    .sort();
};
