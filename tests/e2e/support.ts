import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import axe from 'axe-core';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { expect } from 'vitest';
import { CHROMIUM_FLAGS } from '../browser/chromium.mjs';
import { serveFolder } from '../browser/static-server.mjs';

/** The built page on a server of its own in a fresh browser profile. */
export interface Visit {
  readonly page: Page;
  /** Console errors, page errors and failed requests so far. */
  readonly problems: string[];
  /** Paths that the server was asked for. */
  readonly requests: string[];
  readonly server: { close(): Promise<void> };
  close(): Promise<void>;
}

/** A browser on a screen of its own: one that shows sRGB, where nothing else is said. */
export const launch = (screen: 'srgb' | 'display-p3-d65' = 'srgb'): Promise<Browser> => {
  const { executablePath, env } = JSON.parse(process.env.LINEWASH_CHROMIUM!);
  const args = CHROMIUM_FLAGS.map((flag) => flag.replace('color-profile=srgb', `color-profile=${screen}`));
  return chromium.launch({ executablePath, args, env: { ...process.env, ...env } });
};

let started: Promise<Browser> | undefined;

/** One browser serves all visits of a test file, each in a profile of its own; it ends with the file. */
export const browserOf = async (): Promise<Browser> => {
  if (started !== undefined && (await started).isConnected()) return started;
  started = launch();
  return started;
};

/** Ends the browser: the next file gets one of its own, to which nothing has happened yet. */
export const closeBrowser = async (): Promise<void> => {
  const browser = await started?.catch(() => undefined);
  started = undefined;
  await browser?.close();
};

/** Where a page comes from, and in which browser it opens. */
interface Place {
  readonly browser?: Browser;
  readonly folder?: string;
  /** Whether the sample masters are those of `smallMaster`: for what does not depend on how large they are. */
  readonly small?: boolean;
}

/** The sample master of a line, computed at 480 × 320 pixels. */
export const smallMaster = (line: string): string =>
  join(process.env.LINEWASH_SMALL_MASTERS!, `emberwing-${line}.fits`);

/** The small sample masters by line. */
export const smallInputs = () => ({ S: smallMaster('S'), H: smallMaster('H'), O: smallMaster('O') });

/** Opens the page on the small sample masters, as `visit` does on those that are shipped. */
export const visitSmall = (options: BrowserContextOptions = {}, fragment = ''): Promise<Visit> =>
  visit(options, fragment, { small: true });

/**
 * Opens the page, with a fragment after its address if one is given, and waits for the first fine picture; in another
 * browser or from another folder where these are given.
 */
export const visit = async (
  options: BrowserContextOptions = {},
  fragment = '',
  { browser, folder, small = false }: Place = {},
): Promise<Visit> => {
  const over = small ? process.env.LINEWASH_SMALL_MASTERS : undefined;
  const server = await serveFolder(folder ?? process.env.LINEWASH_PAGE!, { over });
  const context = await (browser ?? (await browserOf())).newContext({
    viewport: { width: 1440, height: 900 },
    colorScheme: 'dark',
    acceptDownloads: true,
    ...options,
  });
  // What takes a moment on a quiet machine may take half a minute on a busy one; this finds what never comes.
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  const problems: string[] = [];
  page.on('console', (message) => {
    // Reading the picture back is what these tests do, not the page.
    const ours = message.text().includes('getImageData');
    if (['error', 'warning'].includes(message.type()) && !ours) problems.push(message.text());
  });
  page.on('pageerror', (error) => problems.push(error.message));
  page.on('requestfailed', (request) => {
    // A page that is left while it loads its rest breaks these requests off itself.
    if (request.failure()?.errorText === 'net::ERR_ABORTED') return;
    problems.push(`failed: ${request.url()} ${request.failure()?.errorText}`);
  });
  await page.goto(server.address + fragment);
  await picture(page);
  return {
    page,
    problems,
    requests: server.requests,
    server,
    async close() {
      await context.close();
      await server.close();
    },
  };
};

/** Waits until no picture is being mixed and one is on screen. */
export const picture = async (page: Page): Promise<void> => {
  await page.locator('lw-picture canvas[aria-busy="false"]').waitFor();
  await page.waitForFunction(isShown);
};

/** On the page: whether a picture is on screen and none is being mixed. */
export const isShown = (): boolean => {
  const view = document.querySelector('lw-app')?.shadowRoot?.querySelector('lw-picture')?.shadowRoot;
  const canvas = view?.querySelector('canvas');
  if (canvas?.getAttribute('aria-busy') !== 'false' || canvas.width < 2) return false;
  const { data } = canvas.getContext('2d')!.getImageData(canvas.width >> 1, canvas.height >> 1, 1, 1);
  return data[3] === 255;
};

/** The pixels of the large picture as they are on screen: the box of everything that is not empty. */
export const shownPixels = async (page: Page): Promise<{ width: number; height: number; data: Uint8Array }> => {
  await picture(page);
  const { width, height, data } = await page.evaluate(() => {
    const view = document.querySelector('lw-app')!.shadowRoot!.querySelector('lw-picture')!.shadowRoot!;
    const canvas = view.querySelector('canvas')!;
    const all = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    let [left, top, right, bottom] = [canvas.width, canvas.height, -1, -1];
    for (let y = 0; y < canvas.height; y++)
      for (let x = 0; x < canvas.width; x++) {
        if (all.data[4 * (y * canvas.width + x) + 3] === 0) continue;
        left = Math.min(left, x);
        right = Math.max(right, x);
        top = Math.min(top, y);
        bottom = Math.max(bottom, y);
      }
    const box = canvas.getContext('2d')!.getImageData(left, top, right - left + 1, bottom - top + 1);
    let bytes = '';
    for (const byte of box.data) bytes += String.fromCharCode(byte);
    return { width: box.width, height: box.height, data: btoa(bytes) };
  });
  return { width, height, data: Buffer.from(data, 'base64') };
};

/** A small text that differs when the large picture looks different. */
export const fingerprint = async (page: Page): Promise<string> => {
  await picture(page);
  return page.evaluate(hashOfPicture);
};

/** On the page: a small text that differs when the large picture looks different. */
export const hashOfPicture = (): string => {
  const view = document.querySelector('lw-app')!.shadowRoot!.querySelector('lw-picture')!.shadowRoot!;
  const small = new OffscreenCanvas(48, 32);
  const context = small.getContext('2d')!;
  context.drawImage(view.querySelector('canvas')!, 0, 0, small.width, small.height);
  let hash = 0;
  for (const byte of context.getImageData(0, 0, small.width, small.height).data) hash = (hash * 31 + byte) | 0;
  return hash.toString(16);
};

/** Waits until the large picture looks different from before. */
export const changed = (page: Page, before: string): Promise<void> =>
  expect.poll(async () => (await fingerprint(page)) !== before).toBe(true);

/** Lets go of files over the page as a drag from the desktop does. */
export const drop = async (page: Page, paths: readonly string[]): Promise<void> => {
  const files = paths.map((path) => ({ name: basename(path), bytes: readFileSync(path).toString('base64') }));
  const transfer = await page.evaluateHandle((given) => {
    const data = new DataTransfer();
    for (const { name, bytes } of given)
      data.items.add(new File([Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0))], name));
    return data;
  }, files);
  await page.dispatchEvent('lw-app', 'dragover', { dataTransfer: transfer });
  await page.dispatchEvent('lw-app', 'drop', { dataTransfer: transfer });
};

/** Presses a button that saves, and gives the saved bytes and their name. */
export const saved = async (page: Page, button: string): Promise<{ name: string; bytes: Buffer }> => {
  const waiting = page.waitForEvent('download');
  await page.getByRole('button', { name: button }).click();
  const download = await waiting;
  return { name: download.suggestedFilename(), bytes: readFileSync((await download.path())!) };
};

/** What axe finds wrong with the page as it stands: rules of WCAG A and AA, and good practice besides where asked. */
export const axeFaults = async (page: Page, ...more: 'best-practice'[]): Promise<string[]> => {
  await page.evaluate(axe.source);
  return page.evaluate(async (practice) => {
    const { axe } = globalThis as unknown as { axe: typeof import('axe-core') };
    const { violations } = await axe.run({
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', ...practice],
    });
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(' ')).join('; ')}`);
  }, more);
};
