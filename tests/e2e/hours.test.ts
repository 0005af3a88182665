import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { adviseHours, type HoursWish } from '../../lib/hours/advice.ts';
import { catalogueRecipe } from '../../lib/node/index.ts';
import { type LedgerFiles, ledgerFiles } from '../../lib/node/ledger-files.ts';
import { plainOf } from '../../lib/web/plain.ts';
import { showHours, showNoise, showPercent } from '../../playground/model/hours-figures.ts';
import { someOf } from '../cases.ts';
import { axeFaults, picture, smallInputs, type Visit, visitSmall } from './support.ts';

const inputs = smallInputs();

/** What the library says of the sample masters, as the page should show it. */
const library = async (recipe: string, time?: Record<string, number>): Promise<LedgerFiles> =>
  ledgerFiles({ recipe: await plainOf(catalogueRecipe(recipe)!), inputs, time });

const splitOf = ({ ledger, surveys, exposures }: LedgerFiles, wish: HoursWish) => {
  const { allocation, nextHour } = adviseHours(ledger, surveys, exposures, wish);
  return allocation!.shares.map(({ name, added, subs }, i) => [
    name,
    `−${showPercent(nextHour[i]!)}`,
    added > 0 ? `+${showHours(added)} ${subs} × 400 s` : '–',
  ]);
};

const gainOf = ({ ledger, surveys, exposures }: LedgerFiles, wish: HoursWish) => {
  const { future, quantity } = adviseHours(ledger, surveys, exposures, wish);
  return showPercent(1 - future!.noise[quantity] / ledger.background.noise[quantity]);
};

describe('noise and hours', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visitSmall();
  });
  afterAll(() => open.close());

  const panel = () => open.page.locator('lw-hours');
  const slider = () => open.page.getByRole('slider', { name: 'Hours to come' });
  const split = () =>
    panel()
      .locator('lw-hours-split tbody tr')
      .evaluateAll((rows) =>
        rows.map((row) => {
          const cells = [...row.querySelectorAll('th, td:not(.spent)')];
          return cells.map((cell) => cell.textContent!.trim().replace(/\s+/g, ' '));
        }),
      );
  const noise = () =>
    panel()
      .locator('lw-ledger tbody tr')
      .evaluateAll((rows) =>
        rows.map((row) => [...row.querySelectorAll('th, td')].map((cell) => cell.textContent!.trim().split('\n')[0])),
      );

  it('are not loaded before they are asked for', async () => {
    await open.page.waitForTimeout(500);
    expect(open.requests.filter((path) => path.includes('hours'))).toEqual([]);
    await open.page.getByRole('button', { name: 'Hours', exact: true }).click();
    await panel().locator('lw-hours-split tbody tr').nth(2).waitFor();
    // The panel, and what the worker needs for it.
    expect(open.requests.filter((path) => path.includes('hours')).length).toBeGreaterThanOrEqual(2);
  });

  it('are those of the library', async () => {
    const files = await library('ember');
    expect(await split()).toEqual(splitOf(files, { goal: 'luminance', more: 10 }));
    const { noise: now, shares } = files.ledger.background;
    const wanted = (['red', 'green', 'blue', 'luminance', 'colour'] as const).map((quantity) => [
      quantity,
      showNoise(now[quantity]),
      files.ledger.lines
        .flatMap((line, i) => (shares[quantity][i]! > 0 ? [`${line} ${showPercent(shares[quantity][i]!)}`] : []))
        .join(', '),
    ]);
    const shown = await noise();
    expect(shown.map(([name, value]) => [name, value])).toEqual(wanted.map(([name, value]) => [name, value]));
    for (const [i, row] of shown.entries()) expect(row[2]!.startsWith(wanted[i]![2]!)).toBe(true);
  });

  it('follow the slider by keys, and the goal', async () => {
    const files = await library('ember');
    await slider().focus();
    for (let i = 0; i < 8; i++) await open.page.keyboard.press('ArrowRight');
    expect(await slider().inputValue()).toBe('14');
    await expect.poll(split).toEqual(splitOf(files, { goal: 'luminance', more: 14 }));
    await panel()
      .getByText(`luminance by ${gainOf(files, { goal: 'luminance', more: 14 })};`)
      .waitFor();
    await open.page.getByRole('radio', { name: 'colour' }).check();
    await expect.poll(split).toEqual(splitOf(files, { goal: 'colour', more: 14 }));
    await open.page.getByRole('radio', { name: 'luminance' }).check();
  });

  it('follow typed hours, to come and so far', async () => {
    const more = open.page.getByRole('spinbutton', { name: 'Hours to come, typed' });
    await more.fill('2,5');
    await more.press('Enter');
    await expect.poll(split).toEqual(splitOf(await library('ember'), { goal: 'luminance', more: 2.5 }));
    const spent = open.page.getByRole('spinbutton', { name: 'Hours of O so far' });
    await spent.fill('30');
    await spent.press('Enter');
    await expect.poll(split).toEqual(splitOf(await library('ember', { O: 30 }), { goal: 'luminance', more: 2.5 }));
    await open.page.getByRole('button', { name: 'header: 5 h' }).click();
    await expect.poll(split).toEqual(splitOf(await library('ember'), { goal: 'luminance', more: 2.5 }));
  });

  it('follow the mix', async () => {
    await open.page.locator('lw-wall').getByRole('button', { name: /^HOO/ }).click();
    await expect.poll(split).toEqual(splitOf(await library('hoo'), { goal: 'luminance', more: 2.5 }));
    await open.page.locator('lw-wall').getByRole('button', { name: 'Ember', exact: true }).click();
    await expect.poll(async () => (await split()).length).toBe(3);
  });

  it('are shown in pixels to those who ask', async () => {
    await open.page.getByText('What 2.5 h more are worth in pixels (an estimate)').click();
    await panel().locator('lw-outlook figure').nth(2).waitFor();
    const rough = () =>
      panel()
        .locator('lw-outlook canvas')
        .evaluateAll((all) =>
          all.map((element) => {
            const canvas = element as HTMLCanvasElement;
            const { data, width } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
            let sum = 0;
            for (let i = 0; i + 4 < data.length; i += 4)
              if ((i / 4) % width !== width - 1) sum += (data[i + 2]! - data[i + 6]!) ** 2;
            return sum;
          }),
        );
    await expect.poll(async () => (await rough()).every((sum) => sum > 0)).toBe(true);
    const [back, now, smooth] = await rough();
    expect(back!).toBeGreaterThan(now!);
    expect(now!).toBeGreaterThan(smooth!);
  });

  it.each(someOf(['light', 'dark', 'night'], 1))(
    'have no fault that axe finds, in the %s surround',
    async (surround) => {
      await open.page.getByRole('radio', { name: surround }).check();
      expect(await axeFaults(open.page, 'best-practice')).toEqual([]);
    },
  );

  it('leave the weights where they were', async () => {
    await open.page.getByRole('button', { name: 'Mix', exact: true }).click();
    expect(await open.page.locator('lw-weights').isVisible()).toBe(true);
    expect(await panel().count()).toBe(0);
    await picture(open.page);
    expect(open.problems).toEqual([]);
  });
});

describe('noise and hours on a phone', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visitSmall({ viewport: { width: 400, height: 800 }, hasTouch: true, isMobile: true });
  });
  afterAll(() => open.close());

  it('are a drawer of their own that does not scroll sideways', async () => {
    await open.page.getByRole('button', { name: 'Hours', exact: true }).tap();
    await open.page.locator('lw-hours-split tbody tr').nth(2).waitFor();
    await open.page.getByText('(an estimate)').tap();
    await open.page.locator('lw-outlook figure').nth(2).waitFor();
    const overflow = await open.page.evaluate(() => {
      const section = document.querySelector('lw-app')!.shadowRoot!.querySelector('section.hours')!;
      return [document.documentElement, section].map((part) => part.scrollWidth - part.clientWidth);
    });
    expect(overflow).toEqual([0, 0]);
    expect(await open.page.locator('lw-weights').isVisible()).toBe(false);
    expect(open.problems).toEqual([]);
  });
});
