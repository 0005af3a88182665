import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inTurn } from '../cases.ts';
import { fallAtOnce, fallOften } from './falls.ts';
import { fingerprint, type Visit, visitSmall } from './support.ts';
import { listenElsewhere, tryAllWaysOut, tryWaysOutOfWorker } from './ways-out.ts';

/** In full by `npm run torture -- page`, a few of it here. */
const FALLS = process.env.LINEWASH_FULL ? 50 : 3;

describe('the ways out of the page', () => {
  let open: Visit;
  let elsewhere: Awaited<ReturnType<typeof listenElsewhere>>;
  beforeAll(async () => {
    elsewhere = await listenElsewhere();
    open = await visitSmall();
  });
  afterAll(async () => {
    await open.close();
    await elsewhere.close();
  });

  it('lead to a server that hears what reaches it', async () => {
    // Without this the others could pass because nobody listened.
    await fetch(`${elsewhere.address}/heard`);
    expect(elsewhere.hits.splice(0)).toEqual(['/heard']);
  });

  it('are all closed, whatever is planted in it', async () => {
    const ways = await open.page.evaluate(tryAllWaysOut, elsewhere.address);
    expect(ways.length).toBeGreaterThanOrEqual(12);
    expect(elsewhere.hits).toEqual([]);
  });

  it('are closed in its worker too', async () => {
    const ways = await open.page.workers()[0]!.evaluate(tryWaysOutOfWorker, elsewhere.address);
    expect(ways.length).toBeGreaterThanOrEqual(6);
    expect(elsewhere.hits).toEqual([]);
  });
});

describe.skipIf(!inTurn('worker'))('a worker that ends', () => {
  it('takes nothing with it but a moment', { timeout: 40_000 * FALLS }, async () => {
    const open = await visitSmall();
    const took = await fallOften(open, FALLS);
    const sorted = took.map(Math.round).sort((a, b) => a - b);
    console.log(`worker ended ${FALLS} times; the page was usable after ${sorted.join(', ')} ms`);
    // A clock judges where the machine has nothing else to do; elsewhere the page came back, however late.
    if (process.env.LINEWASH_FULL) expect(sorted[sorted.length >> 1]).toBeLessThan(2000);
    await open.close();
  });

  it('and ends again at once, several times, is not started for ever: the page offers to try again, and can', async () => {
    const open = await visitSmall();
    const { page } = open;
    const before = await fingerprint(page);
    const ended = await fallAtOnce(open);
    expect(ended).toBeGreaterThanOrEqual(3);
    // It rests: no worker is started until that is asked for.
    const workers = page.workers().length;
    await page.waitForTimeout(1000);
    expect(page.workers().length).toBeLessThanOrEqual(workers);
    await page.getByText('close other pages, or use the command line').waitFor();
    await page.getByRole('button', { name: 'Open them again' }).click();
    await expect.poll(() => fingerprint(page)).toBe(before);
    expect(await page.getByText('The worker has stopped several times in a row').count()).toBe(0);
    expect(await page.getByText('emberwing-O.fits').count()).toBeGreaterThan(0);
    await open.close();
  });
});
