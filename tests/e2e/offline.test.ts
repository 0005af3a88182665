import {
  appendFileSync,
  cpSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { inTurn } from '../cases.ts';
import { stampWorker } from '../tools/offline-page.mjs';
import { changed, fingerprint, picture, type Visit, visit } from './support.ts';

const whole = (page: Page) =>
  page.waitForFunction(() => performance.getEntriesByName('linewash-whole').length > 0, undefined, { polling: 100 });

/** What the browser has kept: paths from the page's own address, without the hash. */
const kept = (page: Page): Promise<string[]> =>
  page.evaluate(async () => {
    const paths: string[] = [];
    for (const name of await caches.keys())
      for (const { url } of await (await caches.open(name)).keys())
        paths.push(new URL(url).pathname.replace('/some/where/', ''));
    return paths.sort();
  });

const filesOf = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name !== 'service-worker.js')
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .map((name) => (name === 'index.html' ? '' : name))
    .sort();

/** A build whose main script differs, and so has another name, as the bundler gives it. */
const makeNewer = (from: string, to: string): void => {
  cpSync(from, to, { recursive: true });
  const page = readFileSync(join(to, 'index.html'), 'utf8');
  const main = /src="\.\/assets\/([^"]+)\.js"/.exec(page)![1]!;
  const script = join(to, 'assets', `${main}.js`);
  appendFileSync(script, "performance.mark('newer-build');");
  renameSync(script, join(to, 'assets', `${main}-newer.js`));
  for (const name of readdirSync(to, { recursive: true, encoding: 'utf8' })) {
    if (!/\.(js|html)$/.test(name)) continue;
    const text = readFileSync(join(to, name), 'utf8');
    writeFileSync(join(to, name), text.replaceAll(`${main}.js`, `${main}-newer.js`));
  }
  stampWorker(to);
};

describe('the built page', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visit();
  });
  afterAll(() => open.close());

  it('can be installed', async () => {
    const client = await open.page.context().newCDPSession(open.page);
    const { data, errors } = await client.send('Page.getAppManifest');
    expect(errors).toEqual([]);
    const { icons, file_handlers } = JSON.parse(data!);
    const { installabilityErrors } = await client.send('Page.getInstallabilityErrors');
    // A private window, as tests have it, installs nothing; nothing else is wrong.
    expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito')).toEqual([]);
    expect(Object.values(file_handlers[0].accept).flat()).toEqual(['.fits', '.fit', '.fts', '.tif', '.tiff', '.json']);
    const sizes = await open.page.evaluate(
      (sources: string[]) =>
        Promise.all(
          sources.map(async (src) => {
            const bitmap = await createImageBitmap(await (await fetch(src)).blob());
            return `${bitmap.width}x${bitmap.height}`;
          }),
        ),
      icons.map(({ src }: { src: string }) => src),
    );
    expect(sizes).toEqual(icons.map(({ sizes: given }: { sizes: string }) => given));
  });

  it.skipIf(!inTurn('offline'))('keeps all of its files, and opens without its server', async () => {
    const { page } = open;
    await whole(page);
    expect(await kept(page)).toEqual(filesOf(process.env.LINEWASH_PAGE!));
    const before = await fingerprint(page);
    await open.server.close();
    await page.reload();
    await picture(page);
    expect(await fingerprint(page)).toBe(before);
    await expect.poll(() => page.getByText('emberwing-O.fits').count()).toBeGreaterThan(0);
    // Parts that are loaded when they are first needed are there too, and so are helpers of the worker.
    await page.getByRole('button', { name: 'Probe', exact: true }).click();
    await page.locator('lw-probe table').waitFor();
    await page.getByRole('button', { name: /^HOO/ }).click();
    await changed(page, before);
    const waiting = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save picture' }).click();
    expect((await waiting).suggestedFilename()).toMatch(/\.tif$/);
  });
});

describe.skipIf(!inTurn('newer'))('a newer build', () => {
  const folders: string[] = [];
  const folderOf = (what: string): string => {
    folders.push(mkdtempSync(join(tmpdir(), `linewash-${what}-`)));
    return folders.at(-1)!;
  };
  let open: Visit | undefined;
  afterEach(async () => {
    await open?.close();
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
  });

  it('is there at the next visit, stays without the server, and leaves nothing of the one before', async () => {
    const folder = folderOf('served');
    const newer = folderOf('newer');
    cpSync(process.env.LINEWASH_PAGE!, folder, { recursive: true });
    makeNewer(process.env.LINEWASH_PAGE!, newer);
    const isNewer = () => performance.getEntriesByName('newer-build').length > 0;

    open = await visit({}, '', { folder });
    const { page } = open;
    await whole(page);
    expect(await page.evaluate(isNewer)).toBe(false);

    // The page that is open goes on while the server has another.
    rmSync(folder, { recursive: true });
    cpSync(newer, folder, { recursive: true });
    const before = await fingerprint(page);
    await page.getByRole('button', { name: /^HOO/ }).click();
    await changed(page, before);

    await page.reload();
    await picture(page);
    expect(await page.evaluate(isNewer)).toBe(true);
    await whole(page);
    await expect.poll(() => kept(page)).toEqual(filesOf(newer));
    await open.server.close();
    await page.reload();
    await picture(page);
    expect(await page.evaluate(isNewer)).toBe(true);
  });
});

describe('a file that the installed page is asked to open', () => {
  it('is opened as if it were dropped', async () => {
    const open = await visit();
    const { page } = open;
    await page.addInitScript(() => {
      const recipe = { name: 'Launched', channels: ['H'], matrix: [[1], [0], [0]] };
      const getFile = async () => new File([JSON.stringify(recipe)], 'launched.json', { type: 'application/json' });
      const setConsumer = (consume: (launch: unknown) => void) => consume({ files: [{ getFile }] });
      Object.defineProperty(globalThis, 'launchQueue', { value: { setConsumer } });
    });
    await page.reload();
    await page.getByText('recipe Launched opened').waitFor();
    await open.close();
  });
});
