// Puts the modules of the command, and of each thread it starts, into a few files: finding and opening some hundred
// small ones takes longer than mixing a small picture. The library itself stays as it was compiled.
import { mkdtempSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const lib = process.argv[2] ?? fileURLToPath(new URL('../../dist/lib', import.meta.url));

/**
 * Bundles, by the folder of each: their entries and the modules these begin with. The threads of a batch share the command's
 * files, for they do the same work; those of the pool have one of their own, which starts soonest.
 */
const BUNDLES = [
  { folder: 'cli', entries: { main: 'cli/main.js', 'main-job-worker': 'node/batch/job-worker.js' } },
  { folder: 'node/threads', entries: { 'pool-worker': 'node/threads/pool-worker.js' } },
  // The generator of the invented targets lies outside the library; "samples" loads it when it has to compute.
  { folder: 'cli', entries: { scene: fileURLToPath(new URL('../../samples/scene/index.ts', import.meta.url)) } },
];

/** Addresses relative to a module are kept relative to it, wherever its code comes to lie. */
const keepAddresses = (folder) => ({
  name: 'keep-addresses',
  transform(code, id) {
    if (!code.includes('import.meta.url')) return null;
    const from = JSON.stringify(relative(folder, id).replaceAll('\\', '/'));
    return { code: code.replaceAll('import.meta.url', `new URL(${from}, import.meta.url).href`), map: null };
  },
});

/** What is seldom needed and imports nothing stays one file for all bundles. */
const shareDecoder = (folder) => ({
  name: 'share-decoder',
  enforce: 'pre',
  resolveId: (source) =>
    source.endsWith('/jpeg-decoder.js')
      ? {
          id: relative(folder, join(lib, 'formats/tiff/display/jpeg-decoder.js')).replaceAll('\\', '/'),
          external: true,
        }
      : null,
});

for (const { folder: name, entries } of BUNDLES) {
  const folder = join(lib, name);
  const fresh = mkdtempSync(join(folder, '.bundle-'));
  const [prefix] = Object.keys(entries);
  await build({
    configFile: false,
    // Packages are put in as well: finding and loading them takes 20 ms of a small picture's 150.
    ssr: { noExternal: true },
    logLevel: 'error',
    publicDir: false,
    plugins: [shareDecoder(folder), keepAddresses(folder)],
    build: {
      ssr: true,
      outDir: fresh,
      target: 'node20',
      minify: false,
      rollupOptions: {
        input: Object.fromEntries(
          Object.entries(entries).map(([entry, path]) => [entry, path.startsWith('/') ? path : join(lib, path)]),
        ),
        external: (id) => id.startsWith('node:'),
        output: {
          entryFileNames: '[name].js',
          chunkFileNames: `${prefix}-[name]-[hash].js`,
          // Half of the bytes are blanks, comments and long names. A defect report has line and column, and building the same version again gives the same files.
          minify: { mangle: true, compress: false, codegen: true },
        },
      },
    },
  });
  for (const file of readdirSync(fresh)) renameSync(join(fresh, file), join(folder, file));
  rmSync(fresh, { recursive: true });
}
const worker = join(lib, 'node/batch/job-worker.js');
writeFileSync(
  worker,
  `import '${relative(dirname(worker), join(lib, 'cli/main-job-worker.js')).replaceAll('\\', '/')}';\n`,
);
// The modules of the command are in its files now; nothing else asks for them.
for (const file of readdirSync(join(lib, 'cli')))
  if (!/^(main|scene)[.-].*js$|^(main|scene)\.js$/.test(file) || file.endsWith('.d.ts')) rmSync(join(lib, 'cli', file));
