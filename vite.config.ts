import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';
import { jpegOfGeotiff } from './tests/tools/jpeg-of-geotiff.mjs';
import { offlinePage } from './tests/tools/offline-page.mjs';
import { workerChunks } from './tests/tools/worker-chunks.mjs';

// The test reporter uses Map.groupBy, which Node 20 lacks, as soon as a test fails.
const maps = Map as unknown as { groupBy?: unknown };
maps.groupBy ??= <T, K>(items: Iterable<T>, keyOf: (item: T, index: number) => K): Map<K, T[]> => {
  const groups = new Map<K, T[]>();
  let index = 0;
  for (const item of items) {
    const key = keyOf(item, index++);
    groups.set(key, [...(groups.get(key) ?? []), item]);
  }
  return groups;
};

/** Folders of tests that stub nothing and start nothing: their files share workers, and what those have loaded. */
const SHARING =
  'api,architecture,check,cli,colour,docs,faint,finish,formats,hours,measure,mix,node,palettes,parity,plane,prepare,recipe,render,samples,smooth,stars,stretch,tally,web,work';
/** Tests in these folders that change what they import, or count memory. */
const ALONE = [
  'tests/recipe/written/plain.test.ts',
  'tests/formats/fits/{fuzz,hostile}.test.ts',
  'tests/cli/early.test.ts',
  'tests/node/batch/processes.test.ts',
  'tests/node/cache/findings-cache.test.ts',
  'tests/node/masters/misfits.test.ts',
  'tests/web/{cancelled,memory}.test.ts',
];
const BROWSER = ['tests/e2e/**', 'tests/playground/**'];

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here('./playground'),
  // Relative addresses, so that the built page works under any sub-path.
  base: './',
  publicDir: here('./samples/masters'),
  build: {
    outDir: here('./dist/playground'),
    emptyOutDir: true,
    target: 'es2023',
    // Workers have no document to which links could be added: only the page itself says what it will need.
    modulePreload: {
      polyfill: false,
      resolveDependencies: (_, names, { hostType }) => (hostType === 'html' ? names : []),
    },
  },
  worker: { format: 'es' },
  plugins: [workerChunks(), jpegOfGeotiff(), offlinePage()],
  test: {
    root: here('./'),
    projects: [
      {
        extends: true,
        test: { name: 'sharing', isolate: false, include: [`tests/{${SHARING}}/**/*.test.ts`], exclude: ALONE },
      },
      {
        extends: true,
        test: {
          name: 'alone',
          include: [`tests/!(${SHARING.replaceAll(',', '|')})/**/*.test.ts`, ...ALONE],
          exclude: BROWSER,
        },
      },
    ],
    environment: 'node',
    // Tests leave nothing in the user's cache, and find nothing there.
    env: { LINEWASH_CACHE: 'off' },
    globalSetup: ['temporary.mjs', 'seed.mjs', 'small-masters.ts'].map((name) => here(`./tests/tools/${name}`)),
    setupFiles: ['equal-bytes.ts', 'open-files.ts', 'properties.ts'].map((name) => here(`./tests/tools/${name}`)),
    // These find what never ends; they judge no speed, for a busy machine takes many times as long as a quiet one.
    testTimeout: 400_000,
    hookTimeout: 400_000,
    maxWorkers: '100%',
    coverage: {
      provider: 'v8',
      include: ['lib/**/*.ts'],
      // Compiled to WebAssembly, or run in processes and threads of their own that are tested from outside.
      exclude: ['lib/render/wasm/assembly/**', 'lib/**/*-worker.ts', 'lib/cli/{main,start,process-streams}.ts'],
      reporter: ['text-summary', 'json-summary'],
      reportOnFailure: true,
      thresholds: {
        lines: 95,
        branches: 90,
        'lib/formats/**': { branches: 99 },
        'lib/recipe/{written/{check,check-preparation,json,migrate,shape},settle/complete,share/link}.ts': {
          branches: 100,
        },
        'lib/node/files/{file-sink,temporary}.ts': { branches: 100 },
      },
    },
  },
});
