import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inTurn } from '../cases.ts';
import { changed, drop, fingerprint, smallMaster, type Visit, visitSmall } from './support.ts';

const sample = smallMaster('H');

describe.skipIf(!inTurn('swapped'))('swapped masters', () => {
  it('are exchanged by a button, which can be taken back', async () => {
    const open = await visitSmall();
    const { page } = open;
    const folder = mkdtempSync(join(tmpdir(), 'linewash-swap-'));
    const files = ['S', 'H', 'O'].map((line) => {
      const file = join(folder, `field-${line}.fits`);
      copyFileSync(smallMaster(line), file);
      return file;
    });
    await drop(page, files);
    const lineOf = (name: string) => page.getByRole('combobox', { name: `Line: field-${name}.fits` });
    await lineOf('S').selectOption('O');
    await expect.poll(() => lineOf('O').inputValue()).toBe('');
    await lineOf('O').selectOption('S');
    await page.locator('lw-fit').getByText('look swapped').waitFor();
    const before = await fingerprint(page);
    await page.getByRole('button', { name: 'Exchange' }).click();
    await expect.poll(async () => [await lineOf('S').inputValue(), await lineOf('O').inputValue()]).toEqual(['S', 'O']);
    await changed(page, before);
    await expect.poll(() => page.locator('lw-fit').getByRole('listitem').count()).toBe(0);
    await page.getByRole('button', { name: /^Undo: . and . exchanged/ }).click();
    await expect.poll(async () => [await lineOf('S').inputValue(), await lineOf('O').inputValue()]).toEqual(['O', 'S']);
    await expect.poll(() => fingerprint(page)).toBe(before);
    expect(open.problems).toEqual([]);
    await open.close();
    rmSync(folder, { recursive: true });
  });
});

describe.skipIf(!inTurn('others'))('masters that do not belong together', () => {
  let open: Visit;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'linewash-fit-'));
    open = await visitSmall();
  });
  afterAll(async () => {
    await open.close();
    rmSync(folder, { recursive: true });
  });

  it('are none among the samples, whose shifts and background show themselves over the picture', async () => {
    const shifts = open.page.getByRole('button', { name: 'Shifts' });
    await shifts.click();
    // The sample scene is registered: both lines lie on H to a few hundredths of a pixel.
    await open.page.getByText(/^S against H: 0\.0\d px/).waitFor();
    await open.page.getByText('times as long as the shifts').waitFor();
    await shifts.click();
    const background = open.page.getByRole('button', { name: 'Background' });
    await background.click();
    await open.page.getByText(/^S: \d+ of \d+ blocks used/).waitFor();
    await background.click();
    expect(await open.page.locator('lw-fit').getByRole('listitem').count()).toBe(0);
  });

  it('are named, with what to do about it', async () => {
    const copy = join(folder, 'second.fits');
    copyFileSync(sample, copy);
    await drop(open.page, [sample, copy]);
    const line = open.page.getByRole('combobox', { name: 'Line: second.fits' });
    await line.waitFor();
    // Its header names the line of the first, but a copy adds nothing to it.
    await open.page.getByText('not combined: second.fits and emberwing-H.fits hold the same picture twice').waitFor();
    expect(await line.inputValue()).toBe('');
    await line.selectOption('O');
    const faults = open.page.locator('lw-fit');
    await faults.getByText('holds the same picture as H').waitFor();
    expect(await faults.getByText('give each line its own master').count()).toBe(1);
    expect(await faults.getByText('its header says the filter is').count()).toBe(1);
  });

  it('are left out by the button beside the warning, which can be taken back', async () => {
    await open.page.getByRole('button', { name: 'Mix without O' }).click();
    const line = open.page.getByRole('combobox', { name: 'Line: second.fits' });
    await expect.poll(() => line.inputValue()).toBe('');
    await open.page.getByRole('button', { name: 'Undo: line of second.fits' }).click();
    await expect.poll(() => line.inputValue()).toBe('O');
  });

  it('are said no more once they are gone', async () => {
    await open.page.getByRole('button', { name: 'Close second.fits' }).click();
    await expect.poll(() => open.page.locator('lw-fit').getByRole('listitem').count()).toBe(0);
    expect(open.problems).toEqual([]);
  });
});
