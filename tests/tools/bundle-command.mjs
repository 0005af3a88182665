// Puts the modules of the command, and of each thread it starts, into a few files: finding and opening some hundred
// small ones takes longer than mixing a small picture. The library itself stays as it was compiled.
import { mkdtempSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const lib = process.argv[2] ?? fileURLToPath(new URL('../../dist/lib', import.meta.url));

/** Entries; the chunks of each lie beside it. */
const ENTRIES = ['cli/main.js', 'node/threads/pool-worker.js', 'node/batch/job-worker.js', 'cli/scene.js'];
/** The generator of the invented targets lies outside the library; "samples" loads it when it has to compute. */
const SOURCES = { 'cli/scene.js': fileURLToPath(new URL('../../samples/scene/index.ts', import.meta.url)) };

/** Addresses relative to a module are kept relative to it, wherever its code comes to lie. */
const keepAddresses = (folder) => ({
  name: 'keep-addresses',
  transform(code, id) {
    if (!code.includes('import.meta.url')) return null;
    const from = JSON.stringify(relative(folder, id).replaceAll('\\', '/'));
    return { code: code.replaceAll('import.meta.url', `new URL(${from}, import.meta.url).href`), map: null };
  },
});

for (const entry of ENTRIES) {
  const folder = dirname(join(lib, entry));
  const fresh = mkdtempSync(join(folder, '.bundle-'));
  const prefix = entry.split('/').at(-1).replace('.js', '');
  await build({
    configFile: false,
    // Packages are put in as well: finding and loading them takes 20 ms of a small picture's 150.
    ssr: { noExternal: true },
    logLevel: 'error',
    publicDir: false,
    plugins: [keepAddresses(folder)],
    build: {
      ssr: SOURCES[entry] ?? join(lib, entry),
      outDir: fresh,
      target: 'node20',
      minify: false,
      rollupOptions: {
        external: (id) => id.startsWith('node:'),
        output: {
          entryFileNames: `${prefix}.js`,
          chunkFileNames: `${prefix}-[name]-[hash].js`,
          // Without blanks and comments, which are half of the bytes; names stay, for those who report a defect.
          minify: { mangle: false, compress: false, codegen: true },
        },
      },
    },
  });
  for (const name of readdirSync(fresh)) renameSync(join(fresh, name), join(folder, name));
  rmSync(fresh, { recursive: true });
}
