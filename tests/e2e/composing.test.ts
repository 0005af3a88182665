import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { mixFiles } from '../../lib/node/mix-files.ts';
import { sheetFiles } from '../../lib/node/sheet-files.ts';
import { CATALOGUE, catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { plainRecipe } from '../../lib/recipe/written/plain.ts';
import { missingLines } from '../../playground/model/columns.ts';
import { FULL, inTurn } from '../cases.ts';
import { asWords, linewash } from '../cli/capture.ts';
import { jpegInTiff } from '../formats/tiff/display/jpeg-in-tiff.ts';
import {
  changed,
  drop,
  fingerprint,
  picture,
  saved,
  smallInputs,
  smallMaster,
  type Visit,
  visitSmall,
} from './support.ts';

const inputs = smallInputs();

describe('what is added to a mix', () => {
  let open: Visit;
  let folder: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'linewash-composing-'));
    open = await visitSmall();
  });
  afterAll(async () => {
    await open.close();
    rmSync(folder, { recursive: true });
  });
  const path = (name: string) => join(folder, name);
  const recipe = () => catalogueRecipe('ember');

  it('is a crop, framed in the picture and saved as the command line saves it', async () => {
    await open.page.getByText('Crop to what all lines cover').click();
    await open.page.locator('lw-crop-over div').waitFor();
    const { bytes } = await saved(open.page, 'Save picture');
    const { width } = await mixFiles({ recipe: recipe(), inputs, output: path('crop.tif'), crop: true });
    expect(width).toBeLessThan(480);
    expect(Buffer.compare(bytes, readFileSync(path('crop.tif')))).toBe(0);
    await open.page.getByText('Crop to what all lines cover').click();
  });

  it('are stars: a dropped colour picture, saved as the command line lays it over', async () => {
    // Any colour picture of this size will do: a mix of the same masters, as JPEG within a TIFF, which asks for a decoder.
    const { width, height } = await mixFiles({ recipe: catalogueRecipe('hoo'), inputs, output: path('plain.jpg') });
    writeFileSync(path('stars.tif'), jpegInTiff(readFileSync(path('plain.jpg')), width, height));
    const before = await fingerprint(open.page);
    await drop(open.page, [path('stars.tif')]);
    await open.page.getByText('stars.tif: laid over the mix as stars.').waitFor();
    await changed(open.page, before);
    await open.page.locator('lw-stars').getByText('Note: it is a JPEG picture, made for display').waitFor();
    const strength = open.page.getByRole('spinbutton', { name: 'Strength' });
    await strength.fill('0.5');
    await picture(open.page);
    const { bytes } = await saved(open.page, 'Save picture');
    const output = path('starry.tif');
    await mixFiles({ recipe: { ...recipe(), stars: { strength: 0.5 } }, inputs, stars: path('stars.tif'), output });
    expect(Buffer.compare(bytes, readFileSync(output))).toBe(0);
    await open.page.getByRole('button', { name: 'Undo: stars: strength' }).click();
    await open.page.locator('lw-stars').getByRole('button', { name: 'Take them off' }).click();
    await expect.poll(() => fingerprint(open.page)).toBe(before);
  });

  it('are neutral stars of the masters, saved as the command line writes them', async () => {
    const before = await fingerprint(open.page);
    await open.page.getByText('More choices').click();
    const panel = open.page.locator('lw-own-stars');
    await panel.getByRole('slider', { name: 'Neutral' }).fill('1');
    await panel.getByText(/^\d+ stars found in S, H and O\.$/).waitFor();
    await changed(open.page, before);
    await panel
      .getByRole('cell', { name: /^\d\.\d\d px$/ })
      .first()
      .waitFor();
    await open.page.getByRole('combobox', { name: 'As' }).selectOption('png-8');
    const { bytes } = await saved(open.page, 'Save picture');
    const output = path('neutral.png');
    const flags = ['--neutral-stars', '1', '--bits', '8', '-o', output];
    expect(await linewash(['mix', 'ember', ...asWords(inputs), ...flags])).toMatchObject({ code: 0 });
    expect(Buffer.compare(bytes, readFileSync(output))).toBe(0);
    await open.page.getByRole('button', { name: 'Undo: neutral stars' }).click();
    await expect.poll(() => fingerprint(open.page)).toBe(before);
    await open.page.getByText('More choices').click();
  });

  const wallRecipes = () => {
    const fitting = CATALOGUE.filter((entry) => missingLines(entry.recipe, Object.keys(inputs)).length === 0);
    return Promise.all(
      fitting.map(async (entry) => ({ caption: entry.recipe.name!, recipe: await plainRecipe(entry.recipe) })),
    );
  };

  /** Opens what arranges the wall, where it is not open yet. */
  const arranging = async () => {
    const details = open.page.locator('lw-wall details');
    if (!(await details.evaluate((element) => (element as HTMLDetailsElement).open)))
      await open.page.getByText('Sort, crop, print').click();
  };

  it.skipIf(!inTurn('wall'))('is the wall as a sheet, as the command line draws it', async () => {
    await arranging();
    const { name, bytes } = await saved(open.page, 'Save as a sheet');
    expect(name).toBe('wall.png');
    const recipes = await wallRecipes();
    const { width, height } = await sheetFiles({ recipes, inputs, output: path('wall.png'), size: 800 });
    expect([bytes.readUInt32BE(16), bytes.readUInt32BE(20)]).toEqual([width, height]);
    expect(Buffer.compare(bytes, readFileSync(path('wall.png')))).toBe(0);
    expect(open.problems).toEqual([]);
  });

  // Crop and sheet are each held by a test of their own.
  it.runIf(FULL)('is the wall as a cropped sheet, as the command line draws it', async () => {
    const recipes = await wallRecipes();
    await open.page.getByText('Crop to what all lines cover').click();
    const cropped = await saved(open.page, 'Save as a sheet');
    await open.page.getByRole('button', { name: 'Undo: crop' }).click();
    await sheetFiles({ recipes, inputs, output: path('cropped.png'), size: 800, crop: true });
    expect(Buffer.compare(cropped.bytes, readFileSync(path('cropped.png')))).toBe(0);
    expect(open.problems).toEqual([]);
  });

  it('prints the wall in the place of the page', async () => {
    await open.page.evaluate(() => {
      window.print = () => {
        document.title = `printed ${document.querySelector('lw-app')!.hasAttribute('paper')}`;
      };
    });
    await arranging();
    await open.page.locator('lw-wall-arrange').getByRole('button', { name: 'Print' }).click();
    await expect.poll(() => open.page.title()).toBe('printed true');
    expect(await open.page.locator('img.sheet').count()).toBe(0);
    expect(open.problems).toEqual([]);
  });
});

describe.skipIf(!inTurn('further'))('a further master of a line', () => {
  it('is combined with the first, and the gain is told', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'linewash-nights-'));
    const open = await visitSmall();
    // Another night of H: the same field in noise of its own, so strong that hardly any is shared with the first.
    const bytes = readFileSync(smallMaster('H'));
    const start = Math.ceil((bytes.indexOf('END     ') + 80) / 2880) * 2880;
    let state = 7;
    for (let i = start; i + 1 < start + 2 * 480 * 320; i += 2) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const value = bytes.readInt16BE(i);
      // The marker of missing data at the border stays.
      if (value > -32000 && value < 32000) bytes.writeInt16BE(value + Math.round((state / 2 ** 32 - 0.5) * 600), i);
    }
    writeFileSync(join(folder, 'emberwing-H-new.fits'), bytes);
    await drop(open.page, [...Object.values(inputs), join(folder, 'emberwing-H-new.fits')]);
    await open.page.getByText(/^2 masters combined \(\d+ % \+ \d+ %\): 1\.\d\d × less noise/).waitFor();
    await open.page.getByText('combined with the other of its line').waitFor();
    await picture(open.page);
    expect(open.problems).toEqual([]);
    await open.close();
    rmSync(folder, { recursive: true });
  });
});
