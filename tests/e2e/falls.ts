import type { Worker } from 'playwright-core';
import { expect } from 'vitest';
import { fingerprint, type Visit } from './support.ts';

/** How a worker ends: with an error that nobody caught, or without a word, as when the system ends it. */
const ENDS = ['error', 'silence'] as const;

/** Ends the page's worker. */
const endWorker = async ({ page }: Visit, how: (typeof ENDS)[number]): Promise<void> => {
  const worker = page.workers().at(-1)!;
  await worker
    .evaluate((end) => {
      if (end === 'silence') return void self.close();
      setTimeout(() => {
        throw new Error('planted');
      });
    }, how)
    // It may be gone before it can answer.
    .catch(() => {});
};

const RESTARTED = 'The worker stopped and was started again';

/**
 * Ends the worker over and over while a change is under way, and looks each time whether the page says so, mixes again,
 * and shows the mix that was asked for. Gives the milliseconds until the right picture is there.
 */
export const fallOften = async (open: Visit, times: number): Promise<number[]> => {
  const { page } = open;
  const recipes = page.getByRole('combobox', { name: 'Recipe' });
  const looks: Record<string, string> = {};
  for (const id of ['hoo', 'ember']) {
    await recipes.selectOption(id);
    await expect.poll(async () => Object.values(looks).includes(await fingerprint(page))).toBe(false);
    looks[id] = await fingerprint(page);
  }
  const took: number[] = [];
  for (let i = 0; i < times; i++) {
    const id = i % 2 === 0 ? 'hoo' : 'ember';
    // By turns at rest, and with a mix under way that is never answered.
    if (i % 3 === 0) await recipes.selectOption(id);
    await endWorker(open, ENDS[i % ENDS.length]!);
    const began = performance.now();
    if (i % 3 !== 0) await recipes.selectOption(id);
    await page.getByText(RESTARTED).waitFor();
    await expect.poll(() => fingerprint(page), { interval: 50 }).toBe(looks[id]);
    took.push(performance.now() - began);
    expect(await recipes.inputValue()).toBe(id);
    // It leaves by itself, too.
    await page
      .getByRole('button', { name: 'Dismiss' })
      .first()
      .click({ timeout: 1000 })
      .catch(() => {});
    await page.getByText(RESTARTED).waitFor({ state: 'detached' });
  }
  return took;
};

/**
 * Ends the worker and each that takes its place until the page gives up, which it must after a few, and gives the number
 * of workers that were ended. From then on workers may live.
 */
export const fallAtOnce = async (open: Visit): Promise<number> => {
  const { page } = open;
  let ended = 0;
  const end = (worker: Worker): void => {
    ended++;
    worker
      .evaluate(() => {
        setTimeout(() => {
          throw new Error('planted');
        });
      })
      .catch(() => {});
  };
  page.on('worker', end);
  await endWorker(open, 'error');
  await page.getByText('The worker has stopped several times in a row').waitFor();
  page.off('worker', end);
  return ended;
};
