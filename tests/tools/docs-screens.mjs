// Pictures of the page on its sample masters: as it opens, on a desk and on a phone, in a light surround and at night; and
// with its parts in use.
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

const press = (page, name) => page.getByRole('button', { name, exact: true }).click();

/** Parts in use, each with what it takes to get there. */
const STATES = [
  { name: 'desk-shifts', device: 'desk', surround: 'dark', act: (page) => press(page, 'Shifts') },
  { name: 'desk-background', device: 'desk', surround: 'dark', act: (page) => press(page, 'Background') },
  {
    name: 'desk-hours',
    device: 'desk',
    surround: 'light',
    async act(page) {
      await press(page, 'Hours');
      await page.getByText('Nights and limits').click();
      await page.getByRole('spinbutton', { name: 'Nights to come' }).fill('3');
    },
  },
  {
    name: 'desk-crop',
    device: 'desk',
    surround: 'dark',
    async act(page) {
      await page.getByText('Crop to what all lines cover').click();
      await page.getByText('Sort, crop, print').click();
    },
  },
  { name: 'phone-tools', device: 'phone', surround: 'light', act: (page) => press(page, 'Tools') },
  { name: 'phone-lines', device: 'phone', surround: 'night', act: (page) => press(page, 'Lines') },
];
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
    for (const device of Object.keys(DEVICES))
      for (const surround of SURROUNDS)
        files.push(await shot(browser, server.address, { name: `${device}-${surround}`, device, surround }));
    for (const state of STATES) files.push(await shot(browser, server.address, state));
    await browser.close();
    await server.close();
    return files;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/** On the page: whether a picture is on screen, nothing is under way, and the wall is filled as far as it is seen. */
const isAtRest = () => {
  const all = (root) => [...root.querySelectorAll('*')].flatMap((e) => [e, ...(e.shadowRoot ? all(e.shadowRoot) : [])]);
  const seen = all(document).filter((e) => e.checkVisibility());
  const busy = ({ localName, children, textContent }) =>
    localName === 'progress' ||
    (children.length === 0 && /^(Mixing|Measuring|Looking|Opening)/.test(textContent.trim()));
  // What the wall has beyond its right and lower edge is mixed when it is scrolled to.
  const wall = seen.find((e) => e.localName === 'lw-wall')?.getBoundingClientRect();
  const empty = (e) => {
    const { left, top } = e.getBoundingClientRect();
    return e.localName === 'lw-band' && left < wall.right && top < wall.bottom && e.picture === undefined;
  };
  const canvas = seen.find((e) => e.localName === 'canvas' && e.getAttribute('aria-busy') === 'false');
  return canvas !== undefined && !seen.some((e) => e.matches('.empty') || busy(e) || empty(e));
};

/** Waits until the page is at rest, and still is a second later. */
const rest = async (page) => {
  do {
    await page.waitForFunction(isAtRest, undefined, { timeout: 240_000, polling: 500 });
    await page.waitForTimeout(1000);
  } while (!(await page.evaluate(isAtRest)));
};

const shot = async (browser, address, { name, device, surround, act }) => {
  const context = await browser.newContext(DEVICES[device]);
  const page = await context.newPage();
  await page.addInitScript((name) => localStorage.setItem('linewash.surround', name), surround);
  await page.goto(address);
  await rest(page);
  if (act !== undefined) {
    await act(page);
    await rest(page);
  }
  const content = await page.screenshot({ type: 'jpeg', quality: QUALITY });
  await context.close();
  if (content.length > MOST_BYTES) throw new Error(`page-${name}.jpg has ${content.length} bytes`);
  return { path: `docs/pictures/page-${name}.jpg`, content };
};
