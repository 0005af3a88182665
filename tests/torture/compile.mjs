// Compiles the library as it stands into a folder of its own, so that whole processes can be started and killed in tests
// whether or not the project has been built. Bundled, so that each start takes little time.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Threads are looked for beside the file that starts them, so all lie in one folder. */
const ENTRIES = {
  main: 'lib/cli/main.ts',
  index: 'lib/node/index.ts',
  'job-worker': 'lib/node/batch/job-worker.ts',
  'pool-worker': 'lib/node/threads/pool-worker.ts',
  scene: 'samples/scene/index.ts',
};

/** Compiles into `folder`: main.js is the command, index.js the library on Node, scene.js the sample scene. */
export const compileInto = async (folder) => {
  await build({
    root,
    configFile: false,
    logLevel: 'error',
    ssr: { noExternal: true },
    build: {
      ssr: true,
      outDir: folder,
      emptyOutDir: true,
      minify: false,
      rollupOptions: {
        input: Object.fromEntries(Object.entries(ENTRIES).map(([name, path]) => [name, join(root, path)])),
        output: { entryFileNames: '[name].js', chunkFileNames: '[name].js' },
      },
    },
  });
  writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
};
