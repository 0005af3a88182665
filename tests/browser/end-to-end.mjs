import { fileURLToPath } from 'node:url';
import { createServer } from 'vite';
import { startVitest } from 'vitest/node';
import { testFiles } from './files.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Serves the page and runs tests/e2e against it in a browser that each test file starts. */
export const endToEndTests = async (chromium, filter) => {
  const none = { kind: 'end to end', passed: 0, failed: 0, skipped: 0 };
  const files = testFiles('tests/e2e', filter);
  if (files.length === 0) return none;
  const server = await createServer({
    configFile: fileURLToPath(new URL('../../vite.config.ts', import.meta.url)),
    logLevel: 'error',
    cacheDir: fileURLToPath(new URL('../../node_modules/.vite-e2e', import.meta.url)),
    server: { host: '127.0.0.1', port: 0, hmr: false, watch: null },
  });
  await server.listen();
  const { port } = server.httpServer.address();
  Object.assign(process.env, {
    LINEWASH_PAGE: `http://127.0.0.1:${port}/`,
    LINEWASH_CHROMIUM: JSON.stringify(chromium),
  });
  const vitest = await startVitest('test', [], {
    config: false,
    root,
    watch: false,
    include: files,
    // One browser at a time: two cores are enough for one page and its workers.
    fileParallelism: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
  });
  const result = count(vitest.state.getTestModules());
  await vitest.close();
  await server.close();
  return { ...none, ...result };
};

const count = (modules) => {
  const total = { passed: 0, failed: 0, skipped: 0 };
  for (const module of modules) {
    const tests = [...module.children.allTests()];
    for (const test of tests) {
      const { state } = test.result();
      total[state === 'passed' ? 'passed' : state === 'failed' ? 'failed' : 'skipped']++;
    }
    if (!module.ok() && tests.every((test) => test.result().state !== 'failed')) total.failed++;
  }
  return total;
};
