import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { someOf } from '../cases.ts';
import { axeFaults, changed, fingerprint, shownPixels, type Visit, visit } from './support.ts';

describe('the page on opening', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visit();
  });
  afterAll(() => open.close());

  it('shows a mix of the sample scene before anything is asked', async () => {
    const { data } = await shownPixels(open.page);
    const colours = new Set<number>();
    for (let i = 0; i < data.length; i += 4) colours.add((data[i]! << 16) | (data[i + 1]! << 8) | data[i + 2]!);
    expect(colours.size).toBeGreaterThan(1000);
    await expect.poll(() => open.page.locator('lw-wall lw-band').count()).toBeGreaterThan(3);
  });

  it('names the three lines, their masters and why', async () => {
    expect(await open.page.getByText('by its header: FILTER = S II').count()).toBe(1);
    expect(await open.page.getByRole('spinbutton', { name: 'H in red' }).getAttribute('aria-valuenow')).toBe('1');
  });

  it.each(someOf(['light', 'dark', 'night'], 1))(
    'has no fault that axe finds, in the %s surround',
    async (surround) => {
      await open.page.getByRole('radio', { name: surround }).check();
      expect(await axeFaults(open.page, 'best-practice')).toEqual([]);
    },
  );

  it('loads at most 150 kB to get there, samples aside', async () => {
    // A visit of its own: after some seconds of rest the page loads what it may need later.
    const fresh = await visit();
    await expect.poll(() => fresh.page.locator('lw-wall lw-band').count()).toBeGreaterThan(3);
    await fresh.page.waitForTimeout(1500);
    const requests = [...fresh.requests];
    await fresh.close();
    const folder = process.env.LINEWASH_PAGE!;
    const files = new Set(requests.map((path) => path.split('/some/where/')[1] || 'index.html'));
    const code = [...files].filter((name) => !name.endsWith('.fits')).map((name) => readFileSync(join(folder, name)));
    expect(code.length).toBeGreaterThan(3);
    expect(code.reduce((sum, bytes) => sum + gzipSync(bytes).length, 0)).toBeLessThan(150_000);
    // What only some visits need is not among it: reading TIFF, checking recipes.
    const text = code.map(String).join();
    for (const word of ['StripByteCounts', 'strict_object']) expect(text.includes(word)).toBe(false);
  });

  it('holds no way out of the page that its security policy cannot close', () => {
    const folder = process.env.LINEWASH_PAGE!;
    const scripts = readdirSync(join(folder, 'assets')).filter((name) => name.endsWith('.js'));
    const text = scripts.map((name) => readFileSync(join(folder, 'assets', name), 'utf8')).join();
    for (const word of ['RTCPeerConnection', 'sendBeacon', 'window.open', 'location.assign', 'WebTransport'])
      expect(text.includes(word)).toBe(false);
  });

  it('asks the server for nothing once it is loaded, and works with the server stopped', async () => {
    await open.page.waitForFunction(() => performance.getEntriesByName('linewash-whole').length > 0);
    await open.page.waitForTimeout(300);
    const loaded = open.requests.length;
    await open.server.close();
    const before = await fingerprint(open.page);
    await open.page.getByRole('button', { name: /^HOO/ }).click();
    await changed(open.page, before);
    // Parts that were never used before are there: a tool, the reader of colours.
    await open.page.getByRole('button', { name: 'Probe', exact: true }).click();
    await open.page.locator('lw-probe table').waitFor();
    await open.page.getByRole('button', { name: /^Natural light/ }).scrollIntoViewIfNeeded();
    await open.page.getByRole('button', { name: /^Natural light/ }).click();
    await open.page.getByRole('button', { name: 'Undo: recipe Natural light' }).waitFor();
    expect(open.requests.length).toBe(loaded);
  });

  it('has met no error on the way', () => {
    expect(open.problems).toEqual([]);
  });
});

describe('the page on a phone', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visit({ viewport: { width: 400, height: 800 }, hasTouch: true, isMobile: true });
  });
  afterAll(() => open.close());

  it.each(someOf(['Mix', 'Lines', 'Wall', 'Save'], 2))(
    'shows the drawer %s without scrolling sideways',
    async (drawer) => {
      await open.page.getByRole('button', { name: drawer, exact: true }).tap();
      const overflow = await open.page.evaluate(() => {
        const app = document.querySelector('lw-app')!.shadowRoot!;
        const parts = [document.documentElement, ...app.querySelectorAll('section:not(.away)')];
        return parts.map((part) => part.scrollWidth - part.clientWidth);
      });
      expect(overflow.every((pixels) => pixels <= 0)).toBe(true);
    },
  );

  it('shows one drawer at a time, below the picture', async () => {
    await open.page.getByRole('button', { name: 'Wall', exact: true }).tap();
    expect(await open.page.locator('lw-wall').isVisible()).toBe(true);
    expect(await open.page.locator('lw-weights').isVisible()).toBe(false);
    expect(await open.page.locator('lw-lines').isVisible()).toBe(false);
    expect(await open.page.locator('lw-picture').isVisible()).toBe(true);
    expect(open.problems).toEqual([]);
  });
});
