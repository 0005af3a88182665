import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fingerprint, type Visit, visit } from './support.ts';

const TOOLS = ['Probe', 'Compare', 'Marks', 'Boxes', 'Shifts', 'Background'];

/** Where the picture's corners are drawn, and how large: what no panel and no tool may change. */
const placeOf = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const view = document.querySelector('lw-app')!.shadowRoot!.querySelector('lw-picture')!.shadowRoot!;
    const box = view.querySelector('.view')!.getBoundingClientRect();
    const zoom = view.querySelector('output')!.textContent!.trim();
    return JSON.stringify([box.x, box.y, box.width, box.height, zoom]);
  });

/** The part of the window, 0…1, in which nothing lies over the picture. */
const openShare = (page: Page): Promise<number> =>
  page.evaluate(() => {
    const step = 8;
    let [open, all] = [0, 0];
    for (let y = step / 2; y < innerHeight; y += step)
      for (let x = step / 2; x < innerWidth; x += step) {
        all++;
        const app = document.querySelector('lw-app')!.shadowRoot!;
        const top = app.elementFromPoint(x, y);
        if (top?.tagName === 'LW-PICTURE' && top.shadowRoot!.elementFromPoint(x, y)?.closest('.view')) open++;
      }
    return open / all;
  });

/** Notes every element that the layout moves from now on; the digits of a number that changes are no element. */
const watchShifts = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const seen: string[] = [];
    (globalThis as unknown as { shifts: string[] }).shifts = seen;
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries())
        for (const { node } of (entry as unknown as { sources: { node: Node | null }[] }).sources)
          if (node instanceof Element) seen.push(`${node.tagName} ${node.className} ${node.textContent!.trim()}`);
    }).observe({ type: 'layout-shift', buffered: false });
  });
const shifts = (page: Page): Promise<string[]> =>
  page.evaluate(() => (globalThis as unknown as { shifts: string[] }).shifts);

describe('the picture', () => {
  let open: Visit;
  let page: Page;
  beforeAll(async () => {
    open = await visit();
    page = open.page;
  });
  afterAll(() => open.close());

  it('has at least 45 % of the window with every panel out', async () => {
    expect(await openShare(page)).toBeGreaterThan(0.45);
  });

  it('keeps its place and zoom whatever panel or tool is opened or put away', async () => {
    const [place, looks] = [await placeOf(page), await fingerprint(page)];
    for (const panel of ['Lines', 'Recipe', 'Wall']) {
      const button = page.getByRole('group', { name: 'Panels' }).getByRole('button', { name: panel });
      await button.click();
      expect(await button.getAttribute('aria-pressed')).toBe('false');
      expect([panel, await placeOf(page)]).toEqual([panel, place]);
    }
    expect(await openShare(page)).toBeGreaterThan(0.85);
    await page.keyboard.press('h');
    await page.getByRole('button', { name: 'Save picture' }).waitFor();
    expect(await placeOf(page)).toBe(place);
    for (const tool of TOOLS) {
      const button = page.getByRole('button', { name: tool, exact: true });
      await button.click();
      expect([tool, await placeOf(page)]).toEqual([tool, place]);
      await button.click();
    }
    expect(await fingerprint(page)).toBe(looks);
  });

  it('and all controls stay where they are while a weight is dragged and a level taken hold of', async () => {
    const cell = page.getByRole('spinbutton', { name: 'S in red' });
    const from = (await cell.boundingBox())!;
    await watchShifts(page);
    await page.mouse.move(from.x + 10, from.y + 12);
    await page.mouse.down();
    await page.mouse.move(from.x + 90, from.y + 12, { steps: 12 });
    await page.mouse.up();
    expect(await cell.boundingBox()).toEqual(from);
    const handle = page.getByRole('slider', { name: 'white of H' });
    const grip = (await handle.boundingBox())!;
    await page.mouse.move(grip.x + grip.width / 2, grip.y + 20);
    await page.mouse.down();
    await page.mouse.move(grip.x + grip.width / 2 - 30, grip.y + 20, { steps: 8 });
    const moved = (await handle.boundingBox())!;
    expect(moved.x - grip.x).toBeCloseTo(-30, 0);
    expect(moved.y).toBe(grip.y);
    await page.mouse.up();
    await page.getByRole('button', { name: 'Undo: white of H' }).click();
    await page.getByRole('button', { name: 'Undo: weight of S in red' }).click();
    await expect.poll(() => shifts(page)).toEqual([]);
  });

  it('shows a line alone in grey, the next one, and the mix again', async () => {
    const mix = await fingerprint(page);
    await page.keyboard.press('l');
    await page.getByText('S alone').waitFor();
    await expect.poll(() => fingerprint(page)).not.toBe(mix);
    const first = await fingerprint(page);
    await page.keyboard.press('l');
    await page.getByText('H alone').waitFor();
    await expect.poll(() => fingerprint(page)).not.toBe(first);
    await page.keyboard.press('k');
    await expect.poll(() => fingerprint(page)).toBe(first);
    await page.getByRole('button', { name: 'Back to the mix' }).click();
    await expect.poll(() => fingerprint(page)).toBe(mix);
  });

  it('is shown one to one by a double click, and whole by another', async () => {
    const zoom = page.getByLabel('Zoom', { exact: true });
    const whole = await zoom.textContent();
    await page.mouse.dblclick(700, 380);
    await expect.poll(async () => (await zoom.textContent())!.trim()).toBe('100 %');
    await page.mouse.dblclick(700, 380);
    await expect.poll(() => zoom.textContent()).toBe(whole);
  });

  it('comes with a list of all keys', async () => {
    await page.keyboard.press('?');
    const list = page.getByRole('dialog', { name: 'Keys' });
    await list.getByText('put all panels away, or bring them back').waitFor();
    await list.getByRole('button', { name: 'Close' }).click();
    await list.waitFor({ state: 'detached' });
    expect(open.problems).toEqual([]);
  });
});

describe('a window of 1024 × 768', () => {
  it('shows all main actions without scrolling', async () => {
    const { page, close } = await visit({ viewport: { width: 1024, height: 768 } });
    for (const name of ['Open files…', 'Save picture', 'Copy link', 'Suggest mixes', 'Fit', ...TOOLS]) {
      const box = (await page.getByRole('button', { name, exact: true }).boundingBox())!;
      expect([name, box.y >= 0 && box.y + box.height <= 768 && box.x >= 0 && box.x + box.width <= 1024]).toEqual([
        name,
        true,
      ]);
    }
    await close();
  });
});
