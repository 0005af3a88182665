// Writes the generated pages: npm run docs [-- PART]. Each tests/tools/docs-PART.mjs exports
//   pages({ load, root }): Promise<{ path, content }[]>
// where load('/lib/…') imports a TypeScript module of the project, and paths are relative to its root.
import { readdirSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { moduleLoader, root } from './modules.mjs';

const here = dirname(fileURLToPath(import.meta.url));

const modules = await moduleLoader();
try {
  const only = process.argv[2];
  const parts = readdirSync(here).filter(
    (name) => /^docs-.*\.mjs$/.test(name) && (!only || name === `docs-${only}.mjs`),
  );
  if (parts.length === 0) throw new Error(`there is no part ${only}`);
  for (const part of parts.sort()) {
    const { pages } = await import(join(here, part));
    for (const { path, content } of await pages({ load: modules.load, root })) {
      await mkdir(dirname(join(root, path)), { recursive: true });
      await writeFile(join(root, path), content);
      console.log(path, content.length);
    }
  }
} finally {
  await modules.close();
}
