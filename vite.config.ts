import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

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
    coverage: { provider: 'v8', include: ['lib/**/*.ts'], exclude: ['lib/render/wasm/assembly/**'] },
  },
});
