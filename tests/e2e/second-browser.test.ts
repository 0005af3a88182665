import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import puppeteer, { type Browser, type ElementHandle, type Page } from 'puppeteer-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catalogueRecipe, mixFiles } from '../../lib/node/index.ts';
import { findFirefox } from '../browser/firefox.mjs';
import { serveFolder } from '../browser/static-server.mjs';
import { someOf } from '../cases.ts';
import { hashOfPicture, isShown } from './support.ts';

const firefox = findFirefox();
const master = (line: string) =>
  fileURLToPath(new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url));

/** The button, tab or field of this name, in whatever shadow tree. */
const find = async (page: Page, name: string): Promise<ElementHandle<HTMLElement>> => {
  const found = await page.waitForFunction(
    (name) => {
      const roots: ParentNode[] = [document];
      for (const root of roots)
        for (const element of root.querySelectorAll<HTMLElement>('*')) {
          if (element.shadowRoot) roots.push(element.shadowRoot);
          const own = element.getAttribute('aria-label') ?? element.textContent?.trim();
          if (own === name && element.matches('button, [role=tab], [role=spinbutton]')) return element;
        }
      return undefined;
    },
    {},
    name,
  );
  return found as ElementHandle<HTMLElement>;
};

const shown = async (page: Page): Promise<string> => {
  await page.waitForFunction(isShown);
  return page.evaluate(hashOfPicture);
};

describe.skipIf(!firefox)('the page in Firefox', () => {
  const downloads = mkdtempSync(join(tmpdir(), 'linewash-firefox-'));
  const problems: string[] = [];
  let server: Awaited<ReturnType<typeof serveFolder>>;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    server = await serveFolder(process.env.LINEWASH_PAGE!);
    browser = await puppeteer.launch({
      // As for all limits here: long enough for a machine that is busy.
      timeout: 60_000,
      browser: 'firefox',
      executablePath: firefox!,
      headless: true,
      // Saved files go to the folder without a question.
      extraPrefsFirefox: {
        'browser.download.folderList': 2,
        'browser.download.dir': downloads,
        'browser.download.always_ask_before_handling_new_types': false,
      },
    });
    page = await browser.newPage();
    page.setDefaultTimeout(60_000);
    await page.setViewport({ width: 1440, height: 900 });
    page.on('console', (message) => {
      if (['error', 'warn'].includes(message.type())) problems.push(message.text());
    });
    page.on('pageerror', (error) => problems.push(String(error)));
    page.on('requestfailed', (request) => problems.push(`failed: ${request.url()}`));
    await page.goto(server.address);
    await page.waitForFunction(isShown);
  });

  afterAll(async () => {
    await browser?.close();
    await server?.close();
    rmSync(downloads, { recursive: true, force: true });
  });

  it('mixes again after a step by the keyboard', async () => {
    const before = await shown(page);
    const weight = await find(page, 'S in green');
    await weight.focus();
    await page.keyboard.press('ArrowDown');
    await expect.poll(() => shown(page)).not.toBe(before);
    await (await find(page, 'Undo: weight of S in green')).click();
    await expect.poll(() => shown(page)).toBe(before);
  });

  it('saves the bytes that Node writes', async () => {
    await (await find(page, 'Save picture')).click();
    const file = join(downloads, 'Ember.tif');
    const own = join(downloads, 'by-command.tif');
    const inputs = Object.fromEntries(['S', 'H', 'O'].map((line) => [line, master(line)]));
    await mixFiles({ recipe: catalogueRecipe('ember'), inputs, output: own });
    // An empty file keeps the name until the download has ended.
    const same = () => existsSync(file) && readFileSync(file).equals(readFileSync(own));
    await expect.poll(same).toBe(true);
  });

  it.each(someOf(['Probe', 'Boxes', 'Shifts', 'Background', 'Hours', 'Suggest mixes'], 2))(
    'opens “%s” without an error',
    async (name) => {
      await (await find(page, name)).click();
      await new Promise((resolve) => setTimeout(resolve, 700));
      expect(problems).toEqual([]);
    },
  );
});
