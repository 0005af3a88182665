import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catalogueRecipe, mixFiles } from '../../lib/node/index.ts';
import { parseRecipe } from '../../lib/parts/index.ts';
import { drop, picture, saved, shownPixels, type Visit, visit } from './support.ts';

const data = new URL('../../../shared/data/m42/', import.meta.url).pathname;
const master = (line: string) => `${data}m42_${line}_256_f32.fits`;
const inputs = { S: master('sii'), H: master('ha'), O: master('oiii') };

describe.skipIf(!existsSync(data))('own masters', () => {
  let open: Visit;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'linewash-e2e-'));
    open = await visit();
    await drop(open.page, Object.values(inputs));
    await open.page.getByText('256 × 256 pixels', { exact: false }).first().waitFor();
    await open.page.locator('lw-histogram').nth(2).waitFor();
    await picture(open.page);
  });
  afterAll(async () => {
    await open.close();
    rmSync(folder, { recursive: true });
  });

  it('replace the samples, each with its line and the reason', async () => {
    expect(await open.page.locator('lw-line').count()).toBe(3);
    for (const [line, path] of Object.entries(inputs)) {
      const choice = open.page.getByRole('combobox', { name: `Line: ${path.split('/').at(-1)}` });
      expect(await choice.inputValue()).toBe(line);
    }
    expect(await open.page.getByText(/by its (file name|header)/).count()).toBe(3);
  });

  it('give on screen exactly the pixels that the command line writes', async () => {
    const output = join(folder, 'library.png');
    await mixFiles({ recipe: catalogueRecipe('ember'), inputs, output, sample: 'u8', alpha: true });
    const { data: wanted, info } = await sharp(output).raw().toBuffer({ resolveWithObject: true });
    await open.page.getByRole('button', { name: '1:1' }).click();
    const shown = await shownPixels(open.page);
    expect([shown.width, shown.height]).toEqual([info.width, info.height]);
    expect(Buffer.compare(Buffer.from(shown.data), wanted)).toBe(0);
  });

  it('are saved as the very TIFF that the command line writes', async () => {
    const output = join(folder, 'library.tif');
    await mixFiles({ recipe: catalogueRecipe('ember'), inputs, output });
    const { name, bytes } = await saved(open.page, 'Save picture');
    expect(name).toBe('Ember.tif');
    expect(Buffer.compare(bytes, readFileSync(output))).toBe(0);
  });

  it('are saved as a 16-bit PNG with the same pixels', async () => {
    const output = join(folder, 'library16.png');
    await mixFiles({ recipe: catalogueRecipe('ember'), inputs, output, sample: 'u16' });
    await open.page.getByRole('combobox', { name: 'As' }).selectOption('png-16');
    const { bytes } = await saved(open.page, 'Save picture');
    const raw = (file: Buffer | string) => sharp(file).toColourspace('rgb16').raw({ depth: 'ushort' }).toBuffer();
    expect(Buffer.compare(await raw(bytes), await raw(output))).toBe(0);
  });

  it('leave a recipe that can be opened again', async () => {
    await open.page.getByRole('combobox', { name: 'As' }).selectOption('recipe');
    const { name, bytes } = await saved(open.page, 'Save recipe');
    expect(name).toBe('Ember.json');
    expect(parseRecipe(bytes.toString())).toEqual(catalogueRecipe('ember'));
    const path = join(folder, 'mine.json');
    writeFileSync(
      path,
      JSON.stringify({
        name: 'Mine',
        matrix: [
          [0, 0, 1],
          [0, 1, 0],
          [1, 0, 0],
        ],
      }),
    );
    await drop(open.page, [path]);
    await open.page.getByText('recipe Mine opened').waitFor();
    expect(await open.page.getByRole('spinbutton', { name: 'O in red' }).getAttribute('aria-valuenow')).toBe('1');
  });

  it('that do not fit are refused in words', async () => {
    await drop(open.page, [`${data}m42_mixed_ha_590x584_f32.fits`]);
    const question = open.page.getByRole('dialog', { name: 'H has a master already.' });
    await question.getByRole('button', { name: 'Add further nights' }).click();
    const choice = open.page.getByRole('combobox', { name: 'Line: m42_mixed_ha_590x584_f32.fits' });
    await choice.selectOption('H');
    const alert = open.page.locator('lw-messages').getByRole('alert');
    await alert.getByText(/590 × 584 pixels.*256 × 256/).waitFor();
    await alert.getByText('register and crop').waitFor();
  });

  it('that are no masters are refused in words', async () => {
    const path = join(folder, 'notes.fits');
    writeFileSync(path, '<img src=x onerror=alert(1)>');
    await drop(open.page, [path]);
    await open.page.getByText('notes.fits: this is a web page, not a FITS or TIFF master').waitFor();
    expect(await open.page.evaluate(() => document.querySelectorAll('img').length)).toBe(0);
    expect(open.problems).toEqual([]);
  });
});
