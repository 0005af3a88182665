// Pictures of the page as it opens on its sample masters: on a desk and on a phone, in a light surround and at night.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { build } from 'vite';
import { CHROMIUM_FLAGS, findChromium } from '../browser/chromium.mjs';
import { serveFolder } from '../browser/static-server.mjs';

const DEVICES = {
  desk: { viewport: { width: 1440, height: 900 } },
  phone: { viewport: { width: 400, height: 800 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true },
};
const SURROUNDS = ['light', 'night'];
const QUALITY = 80;
/** Larger pictures would make the documentation slow to read. */
const MOST_BYTES = 250_000;

export const pages = async ({ root }) => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-screens-'));
  const { executablePath, env } = findChromium();
  try {
    const configFile = join(root, 'vite.config.ts');
    await build({ configFile, logLevel: 'warn', build: { outDir: folder, emptyOutDir: true } });
    const server = await serveFolder(folder);
    const browser = await chromium.launch({ executablePath, args: CHROMIUM_FLAGS, env: { ...process.env, ...env } });
    const files = [];
    for (const [device, options] of Object.entries(DEVICES))
      for (const surround of SURROUNDS) files.push(await shot(browser, server.address, device, options, surround));
    await browser.close();
    await server.close();
    return files;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const shot = async (browser, address, device, options, surround) => {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  await page.addInitScript((name) => localStorage.setItem('linewash.surround', name), surround);
  await page.goto(address);
  await page.locator('lw-picture canvas[aria-busy="false"]').waitFor();
  // The wall is filled last; it is done when the page stops asking for anything.
  await page.waitForLoadState('networkidle');
  await page.waitForTimeout(3000);
  const content = await page.screenshot({ type: 'jpeg', quality: QUALITY });
  await context.close();
  if (content.length > MOST_BYTES) throw new Error(`page-${device}-${surround}.jpg has ${content.length} bytes`);
  return { path: `docs/pictures/page-${device}-${surround}.jpg`, content };
};
