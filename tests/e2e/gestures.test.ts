import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Visit, visit } from './support.ts';

const GESTURES = process.env.LINEWASH_FULL ? 1000 : 60;

describe('a picture that is moved and zoomed over and over', { timeout: 10_000 * GESTURES }, () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visit();
  });
  afterAll(() => open.close());

  /** The middle of the mark around the pixel that the probe holds. */
  const held = async () => {
    const { x, y, width, height } = (await open.page.locator('lw-probe-over .mark').boundingBox())!;
    return { x: x + width / 2, y: y + height / 2 };
  };

  it('keeps the pixel that was under the pointer there', async () => {
    const { page } = open;
    await page.getByRole('button', { name: 'Probe', exact: true }).click();
    await page.locator('lw-probe table').waitFor();
    const view = (await page.locator('lw-picture .stage').boundingBox())!;
    let state = 4711;
    const random = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 32;
    };
    const place = (low: number, size: number) => Math.round(low + size * (0.35 + 0.3 * random()));
    const pixel = () => page.locator('lw-probe dd').first().textContent();
    const middle = await pixel();
    await page.mouse.click(place(view.x, view.width), place(view.y, view.height));
    await page.locator('lw-probe-over .held').waitFor();
    await expect.poll(pixel).not.toBe(middle);
    const where = await pixel();
    const percent = async () => Number.parseFloat((await page.locator('lw-picture output').first().textContent())!);
    let zoom = await percent();
    let least = Number.POSITIVE_INFINITY;
    let most = 0;
    for (let i = 0; i < GESTURES; i++) {
      const from = await held();
      let to = from;
      await page.mouse.move(from.x, from.y);
      // A picture much smaller than its view is held back when it would leave the middle: that is no fault.
      const closer = zoom < 80 || (zoom < 1500 && i % 16 < 8);
      if (i % 2 === 0) await page.mouse.wheel(0, (closer ? -300 : 300) * random());
      else {
        to = { x: place(view.x, view.width), y: place(view.y, view.height) };
        await page.mouse.down();
        await page.mouse.move(to.x, to.y, { steps: 3 });
        await page.mouse.up();
      }
      zoom = await percent();
      least = Math.min(least, zoom);
      most = Math.max(most, zoom);
      // The mark is as large as the pixel, the pointer was anywhere within, and wheels tell whole pixels.
      const reach = zoom / 200 + 2;
      await expect.poll(async () => Math.abs((await held()).x - to.x)).toBeLessThanOrEqual(reach);
      await expect.poll(async () => Math.abs((await held()).y - to.y)).toBeLessThanOrEqual(reach);
    }
    expect(most / least).toBeGreaterThan(3);
    expect(await pixel()).toBe(where);
    expect(open.problems).toEqual([]);
  });
});
