import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openColourPlanes } from '../../lib/formats/colour-planes.ts';
import { openFile } from '../../lib/node/files/file-source.ts';
import { mixFiles } from '../../lib/node/mix-files.ts';
import { sheetFiles } from '../../lib/node/sheet-files.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { layOutSheet } from '../../lib/render/sheet.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-sheet-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const inputs = Object.fromEntries(['S', 'H', 'O'].map((line) => [line, `samples/masters/emberwing-${line}.fits`]));
const SIZE = 120;

/** Red, green and blue of a picture, row by row. */
const pixelsOf = async (path: string) => {
  const bytes = await openFile(path);
  const planes = await openColourPlanes(bytes);
  const { width, height } = planes[0]!;
  const data = [];
  for (const plane of planes) {
    const rows = new Float32Array(width * height);
    await plane.readRows(0, height, rows);
    data.push(rows);
  }
  await bytes.close();
  return { width, height, data };
};

const recipeWith = (change: Partial<Recipe>): Recipe => ({
  channels: ['S', 'H', 'O'],
  matrix: [
    [0, 1, 0],
    [0.25, 0, 0.75],
    [0, 0, 1],
  ],
  space: 'srgb',
  ...change,
});

describe('a sheet', () => {
  it('shows each recipe as a small picture of it has it, whatever recipes take zeros for', async () => {
    const recipes = [recipeWith({}), recipeWith({ zeros: 'data' })];
    const output = join(folder, 'sheet.tif');
    const cells = recipes.map((recipe, i) => ({ caption: String(i), recipe }));
    const told: number[] = [];
    await sheetFiles({ recipes: cells, inputs, output, size: SIZE, progress: (_, done) => told.push(done) });
    expect(told.length).toBeGreaterThan(2);
    const sheet = await pixelsOf(output);
    const seen: number[][] = [];
    for (const [i, recipe] of recipes.entries()) {
      const path = join(folder, `${i}.tif`);
      await mixFiles({ recipe, inputs, output: path, sample: 'u8', size: SIZE });
      const { width, height, data } = await pixelsOf(path);
      const { gap, columns, cell } = layOutSheet(recipes.length, width, height);
      const left = gap + (i % columns) * (cell.width + gap);
      const top = gap + Math.floor(i / columns) * (cell.height + cell.captionHeight + gap);
      for (const [band, wanted] of data.entries())
        for (let y = 0; y < height; y++) {
          const start = (top + y) * sheet.width + left;
          expect([...sheet.data[band]!.subarray(start, start + width)]).toEqual([
            ...wanted.subarray(y * width, (y + 1) * width),
          ]);
        }
      seen.push([...data[1]!]);
    }
    expect(seen[0]).not.toEqual(seen[1]);
  });

  it('lays stars over as a small picture of the recipe has them, and never replaces them', async () => {
    const stars = join(folder, 'stars.tif');
    await mixFiles({
      recipe: recipeWith({
        matrix: [
          [1, 0, 0],
          [1, 0, 0],
          [1, 0, 0],
        ],
      }),
      inputs,
      output: stars,
    });
    const recipe = recipeWith({ stars: { strength: 0.4 } });
    const output = join(folder, 'starry-sheet.tif');
    await sheetFiles({ recipes: [{ caption: '', recipe }], inputs, output, size: SIZE, stars });
    const path = join(folder, 'starry.tif');
    await mixFiles({ recipe, inputs, output: path, sample: 'u8', size: SIZE, stars });
    const [sheet, { width, height, data }] = [await pixelsOf(output), await pixelsOf(path)];
    const { gap } = layOutSheet(1, width, height);
    for (const [band, wanted] of data.entries())
      for (let y = 0; y < height; y++) {
        const start = (gap + y) * sheet.width + gap;
        expect(sheet.data[band]!.subarray(start, start + width)).toEqual(wanted.subarray(y * width, (y + 1) * width));
      }
    await expect(
      sheetFiles({ recipes: [{ caption: '', recipe }], inputs, output: stars, stars, force: true }),
    ).rejects.toMatchObject({ tag: 'output' });
  });

  it('is cut to what all lines cover, so that no edge is empty', async () => {
    const output = join(folder, 'cropped.tif');
    await sheetFiles({ recipes: [{ caption: '', recipe: recipeWith({}) }], inputs, output, size: SIZE, crop: true });
    const { width, height, data } = await pixelsOf(output);
    const whole = await pixelsOf(join(folder, 'starry-sheet.tif'));
    expect(width).toBeLessThan(whole.width);
    // Below the gap, along the upper edge of the picture, some colour stands in each pixel.
    const { gap } = layOutSheet(1, width, height);
    const edge = Array.from({ length: 20 }, (_, x) => data.map((band) => band[(gap + 1) * width + gap + 20 + x]!));
    expect(edge.filter((colours) => colours.every((value) => value === 0))).toEqual([]);
  });
});
