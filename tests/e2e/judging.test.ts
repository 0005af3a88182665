import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { someOf } from '../cases.ts';
import { axeFaults, picture, type Visit, visit, visitSmall } from './support.ts';

const poll = <T>(read: () => T | Promise<T>) => expect.poll(read);

/** Bytes of a canvas in a strip one device pixel high through its middle. */
const middleRow = (canvas: Locator): Promise<number[]> =>
  canvas.evaluate((element) => {
    const { width, height } = element as HTMLCanvasElement;
    return [...(element as HTMLCanvasElement).getContext('2d')!.getImageData(0, height >> 1, width, 1).data];
  });

describe('judging a mix', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visit();
  });
  afterAll(() => open.close());
  const button = (name: string | RegExp) => open.page.getByRole('button', { name, exact: typeof name === 'string' });
  const view = () => open.page.locator('lw-picture .stage');
  const canvas = () => open.page.locator('lw-picture canvas[aria-busy]');

  it('by a probe that tells the colour under the pointer', async () => {
    await button('Probe').click();
    const box = (await view().boundingBox())!;
    const shown = () => open.page.locator('lw-probe dd.rgb').textContent();
    for (const [x, y] of [
      [0.4, 0.5],
      [0.62, 0.7],
    ] as const) {
      const before = await shown().catch(() => '');
      await open.page.mouse.move(box.x + box.width * x, box.y + box.height * y);
      await poll(async () => (await shown()) !== before).toBe(true);
    }
    // One to one, the pixel on screen is the pixel that is told.
    await button('1:1').click();
    await open.page.mouse.move(box.x + Math.round(box.width / 2) + 40, box.y + Math.round(box.height / 2) + 20);
    await picture(open.page);
    await open.page.waitForTimeout(800);
    const told = (await shown())!.trim().split(/\s+/).map(Number);
    const mark = (await open.page.locator('lw-probe-over .mark').boundingBox())!;
    const seen = await canvas().evaluate(
      (element, [x, y]) => {
        const from = element.getBoundingClientRect();
        const { data } = (element as HTMLCanvasElement)
          .getContext('2d')!
          .getImageData(Math.floor(x! - from.x), Math.floor(y! - from.y), 1, 1);
        return [...data.slice(0, 3)].map((v) => v / 255);
      },
      [mark.x + mark.width / 2, mark.y + mark.height / 2],
    );
    for (let b = 0; b < 3; b++) expect(Math.abs(seen[b]! - told[b]!)).toBeLessThan(1.1 / 255);
  });

  it('by keys alone, held and copied', async () => {
    await open.page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    await open.page.locator('lw-picture .view').focus();
    const at = () => open.page.locator('lw-probe dd').first().textContent();
    const [x, y] = (await at())!.split(', ').map(Number) as [number, number];
    await open.page.keyboard.press('ArrowLeft');
    await open.page.keyboard.press('Shift+ArrowDown');
    await poll(at).toBe(`${x - 1}, ${y + 10}`);
    await open.page.keyboard.press('Enter');
    expect(await button('Let go').getAttribute('aria-pressed')).toBe('true');
    await button('Copy as JSON').click();
    await open.page.getByText('The numbers of this pixel are copied').waitFor();
    const copied = JSON.parse(await open.page.evaluate(() => navigator.clipboard.readText()));
    expect([copied.x, copied.y, copied.recipe]).toEqual([x - 1, y + 10, 'Ember']);
    expect(copied.lines.map((line: { name: string }) => line.name)).toEqual(['S', 'H', 'O']);
    // S II has a quarter of green: so much of its strength is brought to it.
    expect(copied.lines[0].brings[1]).toBeCloseTo(0.25 * copied.lines[0].strength, 6);
  });

  it('by the same pixel in all candidates', async () => {
    await open.page.getByText('The same pixel on the wall').click();
    await poll(() => open.page.locator('lw-probe li').count()).toBeGreaterThan(10);
    const ember = await open.page.locator('lw-probe li', { hasText: /^\s*Ember\s+\d/ }).textContent();
    expect(ember).toContain(await open.page.locator('lw-probe dd.rgb').textContent());
    await button('Probe').click();
    expect(await open.page.locator('lw-probe').count()).toBe(0);
  });

  it('by an edge between two, the same pixel under the same point', async () => {
    await button('Fit').click();
    await open.page.locator('lw-wall').getByRole('button', { name: 'Compare: HOO' }).click();
    const slider = open.page.getByRole('slider', { name: 'Edge between Ember and HOO' });
    const other = open.page.locator('lw-compare-over canvas');
    const filled = async (canvas: Locator) => {
      const row = await middleRow(canvas);
      const alpha = row.filter((_, i) => i % 4 === 3);
      return [alpha.length, alpha.findIndex((a) => a > 127), alpha.findLastIndex((a) => a > 127)];
    };
    await poll(async () => (await filled(other))[1]).toBeGreaterThan(-1);
    expect(await filled(other)).toEqual(await filled(canvas()));
    await slider.focus();
    await open.page.keyboard.press('Shift+ArrowLeft');
    expect(await slider.getAttribute('aria-valuenow')).toBe('40');
    const box = (await slider.boundingBox())!;
    await open.page.mouse.move(box.x + box.width / 2, box.y + 100);
    await open.page.mouse.down();
    await open.page.mouse.move(box.x + box.width / 2 + 200, box.y + 120, { steps: 4 });
    await open.page.mouse.up();
    expect(Number(await slider.getAttribute('aria-valuenow'))).toBeGreaterThan(50);
  });

  it('by the candidate itself, once it is made the mix', async () => {
    const other = () => middleRow(open.page.locator('lw-compare-over canvas'));
    expect(await middleRow(canvas())).not.toEqual(await other());
    await button('Make it the mix').click();
    await poll(async () => JSON.stringify(await middleRow(canvas())) === JSON.stringify(await other())).toBe(true);
    await button('Compare').click();
    await button('Undo: recipe HOO').click();
  });

  it('by marks on what it cannot show', async () => {
    await button('Marks').click();
    const share = (name: string) => open.page.locator('lw-marks label', { hasText: name }).textContent();
    await poll(() => share('no data')).toContain('2.3 % of the picture');
    expect(await share('out of gamut')).toContain('0.0 %');
    // With less than none of O in red, much of the picture is out of gamut.
    const cell = open.page.getByRole('spinbutton', { name: 'O in red' });
    await cell.fill('-0.5');
    await cell.press('Enter');
    await poll(async () => Number.parseFloat(/([\d.]+) %/.exec((await share('out of gamut'))!)![1]!)).toBeGreaterThan(
      5,
    );
    await button(/^Undo/).click();
    await button('Marks').click();
  });

  it('by boxes of sky', async () => {
    await button('Boxes').click();
    await button('Put it in the middle of the view').click();
    await open.page.getByRole('spinbutton', { name: 'Background: left' }).fill('100');
    await open.page.getByRole('spinbutton', { name: 'Background: left' }).press('Enter');
    await picture(open.page);
    expect(await open.page.locator('lw-box-over .background').count()).toBe(1);
    // Placed and moved in quick succession, it may be one step.
    while ((await open.page.locator('lw-box-over .background').count()) > 0) {
      await button(/^Undo/).click();
      await picture(open.page);
    }
    await button('Boxes').click();
  });

  it('on a wall in the order that was asked for', async () => {
    const wall = open.page.locator('lw-wall');
    await wall.getByText('Sort, crop, print').click();
    await wall.getByRole('combobox', { name: 'Order by' }).selectOption('noise');
    const count = await wall.locator('.figure').count();
    /** The numbers below the candidates, once all are known. */
    const figures = async (from: number) => {
      const words = await wall.locator('.figure').allTextContents();
      return words.includes('') ? [] : words.map((figure) => Number.parseInt(figure.slice(from), 10));
    };
    await poll(async () => (await figures(0)).length).toBe(count);
    const noises = await figures(0);
    expect(noises).toEqual([...noises].sort((a, b) => a - b));
    await wall.getByRole('combobox', { name: 'Order by' }).selectOption('separation');
    await poll(async () => (await figures(3)).length).toBe(count);
    const apart = await figures(3);
    expect(apart).toEqual([...apart].sort((a, b) => b - a));
    expect(apart[0]!).toBeGreaterThan(apart.at(-1)!);
    await wall.getByRole('button', { name: 'Pin this mix' }).click();
    expect(await wall.locator('li .name').first().textContent()).toContain('Ember, variant 1');
    await wall.getByRole('checkbox', { name: 'Show the part' }).check();
    await button('1:1').click();
    await open.page.waitForTimeout(1500);
    await button('Fit').click();
  });

  it.each(someOf(['light', 'dark', 'night'], 1))(
    'has no fault that axe finds, all tools out, in the %s surround',
    async (name) => {
      await open.page.getByRole('radio', { name }).check();
      for (const tool of ['Probe', 'Compare', 'Marks', 'Boxes'])
        if ((await button(tool).getAttribute('aria-pressed')) === 'false') await button(tool).click();
      await open.page.locator('lw-box section').waitFor();
      await open.page.locator('lw-probe section').waitFor();
      expect(await axeFaults(open.page)).toEqual([]);
      expect(open.problems).toEqual([]);
    },
  );
});

describe('judging on a phone', () => {
  it('keeps the picture in sight and scrolls nothing sideways', async () => {
    const open = await visitSmall({ viewport: { width: 400, height: 800 }, hasTouch: true, isMobile: true });
    await open.page.getByRole('button', { name: 'Tools', exact: true }).tap();
    for (const tool of ['Probe', 'Compare']) await open.page.getByRole('button', { name: tool, exact: true }).tap();
    await open.page.locator('lw-probe table').waitFor();
    const box = (await open.page.locator('lw-picture .view').boundingBox())!;
    expect(box.height).toBeGreaterThan(220);
    const spot = () => open.page.locator('lw-probe dd').first().textContent();
    const before = await spot();
    await open.page.touchscreen.tap(box.x + 90, box.y + 100);
    await poll(spot).not.toBe(before);
    const over = await open.page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(over).toBe(0);
    expect(open.problems).toEqual([]);
    await open.close();
  });
});
