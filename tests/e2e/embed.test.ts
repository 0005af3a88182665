import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catalogueRecipe, closeMasters, openMasters, renderPicture, settleChannels } from '../../lib/node/index.ts';
import { pictureInMemory, preparedChannels } from '../../lib/node/parts/index.ts';
import { serveFolder } from '../browser/static-server.mjs';
import { browserOf } from './support.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const built = existsSync(join(root, 'dist/lib/parts/index.js'));
const folder = mkdtempSync(join(tmpdir(), 'linewash-embed-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const masters = Object.fromEntries(
  ['S', 'H', 'O'].map((line) => [line, join(root, `samples/masters/emberwing-${line}.fits`)]),
);

/** The same picture by the same steps in Node. */
const inNode = async (): Promise<Uint8Array> => {
  const channels = await openMasters(masters, { zeros: 'data' });
  try {
    const { settled } = await settleChannels(catalogueRecipe('ember')!, channels);
    const form = { width: 1200, height: 800, sample: 'u8', bands: 4 } as const;
    const { writer, picture } = pictureInMemory(form);
    await renderPicture(preparedChannels(settled, channels), settled, form, writer);
    return picture.data as Uint8Array;
  } finally {
    await closeMasters(channels);
  }
};

// The example imports the built package: without a build there is nothing to import.
describe.skipIf(!built)('the example for a page, put through a bundler', () => {
  beforeAll(async () => {
    mkdirSync(join(folder, 'node_modules'));
    symlinkSync(root, join(folder, 'node_modules/linewash'));
    const example = readFileSync(join(root, 'docs/examples/in-a-page.mjs'), 'utf8');
    writeFileSync(join(folder, 'in-a-page.mjs'), example);
    const page = '<input type="file" multiple><canvas></canvas><script type="module" src="in-a-page.mjs"></script>';
    writeFileSync(join(folder, 'index.html'), page);
    await build({ root: folder, base: './', configFile: false, logLevel: 'error', build: { target: 'es2023' } });
  });

  it('takes nothing of Node in', () => {
    const scripts = readdirSync(join(folder, 'dist/assets')).filter((name) => name.endsWith('.js'));
    expect(scripts.length).toBeGreaterThan(0);
    for (const name of scripts)
      expect(readFileSync(join(folder, 'dist/assets', name), 'utf8')).not.toMatch(/["']node:|__vite-browser-external/);
  });

  it('paints what Node makes of the same masters', async () => {
    const server = await serveFolder(join(folder, 'dist'));
    const context = await (await browserOf()).newContext();
    try {
      const page = await context.newPage();
      await page.goto(server.address);
      await page.locator('input').setInputFiles(Object.values(masters));
      await page.waitForFunction(() => document.querySelector('canvas')!.width === 1200);
      const shown = await page.evaluate(async () => {
        const canvas = document.querySelector('canvas')!;
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
        return [data.length, ...new Uint8Array(await crypto.subtle.digest('SHA-256', data))];
      });
      const wanted = await inNode();
      expect(shown).toEqual([wanted.length, ...createHash('sha256').update(wanted).digest()]);
    } finally {
      await context.close();
      await server.close();
    }
  });
});
