import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

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
    modulePreload: { polyfill: false },
  },
  worker: { format: 'es' },
  test: {
    root: here('./'),
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/e2e/**', 'tests/playground/**'],
    environment: 'node',
    testTimeout: 60_000,
    maxWorkers: '100%',
    coverage: { provider: 'v8', include: ['lib/**/*.ts'], exclude: ['lib/render/wasm/assembly/**'] },
  },
});
