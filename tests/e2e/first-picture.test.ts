import axe from 'axe-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { changed, fingerprint, shownPixels, type Visit, visit } from './support.ts';

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

  it.each(['light', 'dark', 'night'])('has no fault that axe finds, in the %s surround', async (surround) => {
    await open.page.getByRole('radio', { name: surround }).check();
    await open.page.evaluate(axe.source);
    const violations = await open.page.evaluate(async () => {
      const { axe } = globalThis as unknown as { axe: typeof import('axe-core') };
      const result = await axe.run({
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
      });
      return result.violations.map(
        ({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(' ')).join('; ')}`,
      );
    });
    expect(violations).toEqual([]);
  });

  it('asks the server for nothing once it is loaded, and works with the server stopped', async () => {
    // The wall is the last to be done.
    await expect.poll(() => open.page.locator('lw-wall lw-band').count()).toBeGreaterThan(3);
    await open.page.waitForTimeout(300);
    const loaded = open.requests.length;
    await open.server.close();
    const before = await fingerprint(open.page);
    await open.page.getByRole('button', { name: 'HOO' }).click();
    await changed(open.page, before);
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

  it.each(['Mix', 'Lines', 'Wall', 'Save'])('shows the drawer %s without scrolling sideways', async (drawer) => {
    await open.page.getByRole('button', { name: drawer, exact: true }).tap();
    const overflow = await open.page.evaluate(() => {
      const app = document.querySelector('lw-app')!.shadowRoot!;
      const parts = [document.documentElement, ...app.querySelectorAll('section:not(.away)')];
      return parts.map((part) => part.scrollWidth - part.clientWidth);
    });
    expect(overflow.every((pixels) => pixels <= 0)).toBe(true);
  });

  it('shows one drawer at a time, below the picture', async () => {
    await open.page.getByRole('button', { name: 'Wall', exact: true }).tap();
    expect(await open.page.locator('lw-wall').isVisible()).toBe(true);
    expect(await open.page.locator('lw-weights').isVisible()).toBe(false);
    expect(await open.page.locator('lw-lines').isVisible()).toBe(false);
    expect(await open.page.locator('lw-picture').isVisible()).toBe(true);
    expect(open.problems).toEqual([]);
  });
});
