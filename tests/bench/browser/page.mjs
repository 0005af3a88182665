// The built page in a browser of its own, with its timeline kept for the bench.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { build } from 'vite';
import { CHROMIUM_FLAGS, findChromium } from '../../browser/chromium.mjs';
import { serveFolder } from '../../browser/static-server.mjs';

const root = fileURLToPath(new URL('../../..', import.meta.url));

/** Builds the page from source, serves it and starts a browser. */
export const startBrowser = async () => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-bench-page-'));
  await build({
    configFile: join(root, 'vite.config.ts'),
    logLevel: 'warn',
    build: { outDir: folder, emptyOutDir: true },
  });
  const server = await serveFolder(folder);
  const { executablePath, env } = findChromium();
  const browser = await chromium.launch({ executablePath, args: CHROMIUM_FLAGS, env: { ...process.env, ...env } });
  return {
    address: server.address,
    browser,
    version: browser.version(),
    async close() {
      await browser.close();
      await server.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
};

/** Runs in the page before its own code: keeps milestones and long tasks. */
const watchTimeline = () => {
  const seen = { marks: [], tasks: [] };
  globalThis.timeline = seen;
  const watch = (type, keep) => {
    new PerformanceObserver((list) => list.getEntries().forEach(keep)).observe({ type, buffered: true });
  };
  watch('mark', ({ name, startTime, detail }) => seen.marks.push({ name, at: startTime, detail }));
  watch('longtask', ({ startTime, duration }) => seen.tasks.push({ at: startTime, took: duration }));
};

/** Opens the page in a fresh profile. */
export const openPage = async ({ browser, address }, viewport = { width: 1440, height: 900 }) => {
  const context = await browser.newContext({ viewport, colorScheme: 'dark' });
  const page = await context.newPage();
  await page.addInitScript(watchTimeline);
  await page.goto(address);
  return { page, close: () => context.close() };
};

/** Milliseconds of processor time that the browser's processes have taken so far; none is counted that ended. */
export const processorTime = async ({ browser }) => {
  const session = await browser.newBrowserCDPSession();
  const { processInfo } = await session.send('SystemInfo.getProcessInfo');
  await session.detach();
  return 1000 * processInfo.reduce((sum, { cpuTime }) => sum + cpuTime, 0);
};

/** Milliseconds since the page was asked for. */
export const now = (page) => page.evaluate(() => performance.now());

/** The first `count` milestones of a name after a time whose details hold `wanted`. */
export const milestones = async (page, { name, after = 0, count = 1, wanted = {} }) => {
  const found = await page.waitForFunction(
    ({ name, after, count, wanted }) => {
      const fits = ({ name: n, at, detail }) =>
        n === name && at > after && Object.entries(wanted).every(([key, value]) => detail?.[key] === value);
      const all = globalThis.timeline.marks.filter(fits);
      return all.length >= count && all.slice(0, count);
    },
    { name, after, count, wanted },
    // Finds what never comes; a slow machine takes many times as long as a quick one.
    { timeout: 120_000 },
  );
  return found.jsonValue();
};

/** Long tasks of the page's main thread after a time. */
export const longTasks = (page, after = 0) =>
  page.evaluate((from) => globalThis.timeline.tasks.filter(({ at, took }) => at + took > from), after);
