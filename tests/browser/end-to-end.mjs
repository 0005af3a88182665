import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { startVitest } from 'vitest/node';
import { testFiles } from './files.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Builds the page into a folder of its own and runs tests/e2e on it; each visit is to a server and in a browser profile of its own. */
export const endToEndTests = async (chromium, words) => {
  const none = { kind: 'end to end', passed: 0, failed: 0, skipped: 0 };
  const files = testFiles('tests/e2e', words);
  if (files.length === 0) return none;
  const page = mkdtempSync(join(tmpdir(), 'linewash-page-'));
  try {
    // The compiler of the component tests leaves its own mode behind.
    process.env.NODE_ENV = 'production';
    const configFile = join(root, 'vite.config.ts');
    await build({ configFile, logLevel: 'warn', build: { outDir: page, emptyOutDir: true } });
    Object.assign(process.env, { LINEWASH_PAGE: page, LINEWASH_CHROMIUM: JSON.stringify(chromium) });
    const vitest = await startVitest('test', [], {
      config: false,
      root,
      watch: false,
      include: files,
      // One browser at a time: two cores are enough for one page and its workers.
      fileParallelism: false,
      // All files share a process; each has a browser of its own.
      isolate: false,
      setupFiles: [join(root, 'tests/e2e/each-file.ts')],
      globalSetup: [join(root, 'tests/tools/small-masters.ts')],
      expect: { poll: { timeout: 60_000 } },
      // These find what never ends; a busy machine takes many times as long as a quiet one.
      testTimeout: 240_000,
      hookTimeout: 240_000,
    });
    const result = count(vitest.state.getTestModules());
    await vitest.close();
    return { ...none, ...result };
  } finally {
    rmSync(page, { recursive: true, force: true });
  }
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
