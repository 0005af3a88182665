import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drop, type Visit, visit } from './support.ts';

const sample = new URL('../../samples/masters/emberwing-H.fits', import.meta.url).pathname;

describe('masters that do not belong together', () => {
  let open: Visit;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'linewash-fit-'));
    open = await visit();
  });
  afterAll(async () => {
    await open.close();
    rmSync(folder, { recursive: true });
  });

  it('are named, with what to do about it', async () => {
    const copy = join(folder, 'second.fits');
    copyFileSync(sample, copy);
    await drop(open.page, [sample, copy]);
    const line = open.page.getByRole('combobox', { name: 'Line: second.fits' });
    await line.waitFor();
    // Its header names the line that the first already has.
    expect(await line.inputValue()).toBe('');
    await line.selectOption('O');
    const faults = open.page.locator('lw-fit');
    await faults.getByText('holds the same picture as H').waitFor();
    expect(await faults.getByText('give each line its own master').count()).toBe(1);
    expect(await faults.getByText('its header says the filter is').count()).toBe(1);
  });

  it('are said no more once they are gone', async () => {
    await open.page.getByRole('button', { name: 'Close second.fits' }).click();
    await expect.poll(() => open.page.locator('lw-fit').getByRole('listitem').count()).toBe(0);
    expect(open.problems).toEqual([]);
  });
});
