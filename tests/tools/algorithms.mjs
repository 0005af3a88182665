// Stands for the code that measures and settles: a number kept by a build counts only for builds of the same code.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { BUILT_IN, PARTS_BUILT_IN } from './docs-licences.mjs';

/** Parts of lib/ that no measured number can depend on. */
const APART = ['cli', 'web', 'palettes'];

/** SHA-256 over all sources below `lib` that a measured number can depend on, and over the versions of packages. */
export const algorithmsOf = (root) => {
  const lib = join(root, 'lib');
  const files = readdirSync(lib, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => relative(lib, join(entry.parentPath ?? entry.path, entry.name)).replaceAll('\\', '/'))
    .filter((path) => !APART.includes(path.split('/')[0]))
    .sort();
  const hash = createHash('sha256');
  for (const path of files) {
    const bytes = readFileSync(join(lib, path));
    hash.update(`${path}\n${bytes.length}\n`).update(bytes);
  }
  const { dependencies, devDependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const builtIn = [...BUILT_IN, ...PARTS_BUILT_IN].map((name) => [name, devDependencies[name]]);
  return hash.update(JSON.stringify([dependencies, builtIn])).digest('hex');
};

/** Puts it into a compiled library, before anything is bundled. */
export const stampAlgorithms = (root) => {
  const path = join(root, 'dist/lib/node/cache/algorithms.js');
  const text = readFileSync(path, 'utf8');
  const stamped = text.replace("'as in the sources'", `'${algorithmsOf(root)}'`);
  if (stamped === text) throw new Error(`${path} has no place for the hash`);
  writeFileSync(path, stamped);
};
