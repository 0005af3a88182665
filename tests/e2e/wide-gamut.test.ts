import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, describe, expect, it } from 'vitest';
import { drop, launch, picture, type Visit, visit } from './support.ts';

/** One line in red alone: every pixel lies on the edge of the recipe's own space. */
const reds = (space: string) => ({
  name: `Red of ${space}`,
  space,
  channels: ['H'],
  matrix: [[1], [0], [0]],
});

/** On the page: the reddest pixel of a canvas in Display P3, whatever space the canvas is in. */
const reddestInP3 = (canvas: Element): { space: string; pixel: number[] } => {
  const context = (canvas as HTMLCanvasElement).getContext('2d')!;
  const { width, height } = canvas as HTMLCanvasElement;
  const { data } = context.getImageData(0, 0, width, height, { colorSpace: 'display-p3' });
  let best = 0;
  for (let i = 0; i < data.length; i += 4) if (data[i]! > data[best]!) best = i;
  return { space: context.getContextAttributes().colorSpace!, pixel: [...data.slice(best, best + 3)] };
};

const folder = mkdtempSync(join(tmpdir(), 'linewash-gamut-'));
const browsers: Browser[] = [];
afterAll(async () => {
  for (const browser of browsers) await browser.close();
  rmSync(folder, { recursive: true });
});

const visitOn = async (screen: Parameters<typeof launch>[0]): Promise<Visit> => {
  const browser = await launch(screen);
  browsers.push(browser);
  return visit({}, '', { browser, small: true });
};

const use = async (page: Page, recipe: { name: string }): Promise<void> => {
  const path = join(folder, `${recipe.name}.json`);
  writeFileSync(path, JSON.stringify(recipe));
  await drop(page, [path]);
  await page.getByText(`recipe ${recipe.name} opened`).waitFor();
  await picture(page);
};

const large = (page: Page) => page.locator('lw-picture canvas').first().evaluate(reddestInP3);

describe('a screen that shows Display P3', () => {
  it('gets the colours of a recipe in it, in the picture, on the wall and beside another mix', async () => {
    const open = await visitOn('display-p3-d65');
    const { page } = open;
    expect((await large(page)).space).toBe('srgb');

    await use(page, reds('display-p3'));
    const wide = await large(page);
    expect(wide.space).toBe('display-p3');
    // Outside sRGB: there the same red is mixed with green and blue, as the next test shows.
    expect(wide.pixel[0]).toBeGreaterThan(200);
    expect(wide.pixel.slice(1)).toEqual([0, 0]);

    await page.locator('lw-wall .keep').click();
    const onWall = page.locator('lw-wall li', { hasText: 'Red of display-p3' });
    await expect.poll(() => onWall.locator('canvas').evaluate(reddestInP3)).toEqual(wide);

    await use(page, reds('srgb'));
    const narrow = await large(page);
    expect(narrow.space).toBe('srgb');
    expect(narrow.pixel[1]).toBeGreaterThan(30);
    await onWall.getByRole('button', { name: /^Compare/ }).click();
    const beside = page.locator('lw-compare-over canvas');
    await expect.poll(() => beside.evaluate(reddestInP3)).toEqual(wide);

    await page.getByRole('button', { name: /^Undo: recipe Red of srgb/ }).click();
    await picture(page);
    await expect.poll(() => large(page)).toEqual(wide);
    expect(open.problems).toEqual([]);
    await open.close();
  });
});

describe('a screen that shows sRGB', () => {
  it('gets them as near as it can show them', async () => {
    const open = await visitOn('srgb');
    await use(open.page, reds('display-p3'));
    const { space, pixel } = await large(open.page);
    expect(space).toBe('srgb');
    expect(pixel[1]).toBeGreaterThan(30);
    expect(open.problems).toEqual([]);
    await open.close();
  });
});
