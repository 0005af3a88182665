import { fileURLToPath } from 'node:url';
import { startTestRunner } from '@web/test-runner';
import { chromeLauncher } from '@web/test-runner-chrome';
import { createServer } from 'vite';
import { accessibilityTree } from './accessibility-tree.mjs';
import { CHROMIUM_FLAGS } from './chromium.mjs';
import { testFiles } from './files.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Runs tests/playground in a browser and counts the results. */
export const componentTests = async (chromium, words) => {
  const files = testFiles('tests/playground', words);
  if (files.length === 0) return { kind: 'components', passed: 0, failed: 0, skipped: 0 };
  const vite = await compiler();
  const runner = await startTestRunner({
    readCliArgs: false,
    readFileConfig: false,
    autoExitProcess: false,
    config: {
      rootDir: root,
      files,
      // One page at a time: a page that is not in front may get no animation frames.
      concurrency: 1,
      // These find what never ends; a busy machine takes many times as long as a quiet one.
      testsFinishTimeout: 400_000,
      testFramework: { config: { timeout: 60_000 } },
      browsers: [
        chromeLauncher({
          launchOptions: {
            executablePath: chromium.executablePath,
            args: CHROMIUM_FLAGS,
            env: { ...process.env, ...chromium.env },
          },
        }),
      ],
      plugins: [accessibilityTree()],
      filterBrowserLogs: ({ args }) => !String(args[0]).includes('Lit is in dev mode'),
      middleware: [throughVite(vite)],
      // Vite's own modules are served by it; nothing is left for the runner to resolve.
      nodeResolve: false,
    },
  });
  await new Promise((resolve) => runner.on('finished', resolve));
  const result = count(runner);
  await runner.stop();
  await vite.close();
  return { kind: 'components', ...result };
};

/** Vite compiles TypeScript and bundles packages; it never reloads the page under a running test. */
const compiler = () =>
  createServer({
    configFile: false,
    root,
    appType: 'custom',
    logLevel: 'error',
    cacheDir: 'node_modules/.vite-components',
    publicDir: 'samples/masters',
    server: { middlewareMode: true, hmr: false, ws: false, watch: null },
    optimizeDeps: {
      entries: ['playground/**/*.ts', 'lib/web/**/*.ts', 'tests/playground/**/*.ts'],
      exclude: ['@web/test-runner-commands'],
    },
    plugins: [
      {
        name: 'test-runner-modules',
        enforce: 'pre',
        resolveId: (id) => (id.startsWith('/__web-') ? { id, external: true } : undefined),
      },
    ],
  });

/** Executor everything but the runner's own pages and modules to Vite. */
const throughVite = (vite) => (context, next) => {
  const { path } = context;
  const theirs = path === '/' || path.startsWith('/__web-') || path.includes('/@web/test-runner-mocha/');
  if (theirs) return next();
  return new Promise((resolve, reject) => {
    context.res.statusCode = 200;
    keepModules(context.res);
    context.res.on('close', () => {
      context.respond = false;
      resolve();
    });
    vite.middlewares(context.req, context.res, (error) => {
      if (error) return reject(error);
      context.res.statusCode = 404;
      return next().then(resolve, reject);
    });
  });
};

/** Nothing changes while tests run: what one file has loaded, the browser need not ask for again with the next. */
const keepModules = (response) => {
  const { setHeader } = response;
  response.setHeader = (name, value) =>
    setHeader.call(response, name, name.toLowerCase() === 'cache-control' ? 'max-age=3600' : value);
};

const count = (runner) => {
  const total = { passed: 0, failed: 0, skipped: 0 };
  const visit = ({ tests, suites }) => {
    for (const test of tests) total[test.skipped ? 'skipped' : test.passed ? 'passed' : 'failed']++;
    for (const suite of suites) visit(suite);
  };
  for (const session of runner.sessions.all()) {
    if (session.testResults) visit(session.testResults);
    // A file that broke before or between its tests must not pass unseen.
    if (!session.passed && !(session.testResults && hasFailure(session.testResults))) total.failed++;
  }
  return total;
};

const hasFailure = ({ tests, suites }) => tests.some((t) => !t.passed && !t.skipped) || suites.some(hasFailure);
