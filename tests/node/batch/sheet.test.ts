import { openAsBlob, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { batchFiles } from '../../../lib/node/batch/batch-files.ts';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { layOutSheet } from '../../../lib/render/sheet.ts';
import { createService } from '../../../lib/web/service.ts';
import { inFolder, plan, writeTargets } from './scene.ts';

const [WIDTH, HEIGHT] = [120, 80];
/** The grey of a sheet. */
const GROUND = 34;

const pixels = (file: string) => sharp(file, { ignoreIcc: true }).raw().toBuffer({ resolveWithObject: true });

/** The place of a cell on a sheet of so many, and whether all of it is the sheet's grey. */
const cellOf = async (
  sheet: string,
  index: number,
  count: number,
  columns: number,
  [width, height] = [WIDTH, HEIGHT],
) => {
  const { gap, cell } = layOutSheet(count, width!, height!, columns);
  const left = gap + (index % columns) * (cell.width + gap);
  const top = gap + Math.floor(index / columns) * (cell.height + cell.captionHeight + gap);
  const part = { left, top, width: cell.width, height: cell.height };
  return sharp(sheet, { ignoreIcc: true }).extract(part).raw().toBuffer();
};

/** The page's sheet of the same targets by the same recipes, as a file. */
const sheetOnPage = async (folder: string): Promise<string> => {
  const service = createService();
  const lines: Record<string, Record<string, string>> = { Arc: {}, Rim: {} };
  for (const name of readdirSync(folder).sort()) {
    const [target, line] = name.replace('.fits', '').split('-');
    await service.open({ id: name, name, from: await openAsBlob(join(folder, name)) });
    lines[target!]![line!] = name;
  }
  const question = {
    targets: Object.entries(lines).map(([name, own]) => ({ name, lines: own })),
    recipes: ['hoo', 'sho'].map((caption) => ({ caption, recipe: catalogueRecipe(caption)! })),
    file: 'targets.png',
    size: 200,
  };
  const blob = await service.targetSheet(question, { signal: new AbortController().signal, progress: () => {} });
  const file = join(folder, 'targets.png');
  writeFileSync(file, Buffer.from(await blob.arrayBuffer()));
  return file;
};

describe('the sheet of a batch', () => {
  it('has a row a target and a column a recipe, each cell as its picture shows it, and grey where there is none', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc', 'Rim']);
      rmSync(join(folder, 'masters/Rim-S.fits'));
      const outputs = [{ file: '{target} {recipe}.png', bits: 8 as const }];
      const { sheet, made, failed } = await batchFiles({
        plan: plan({ recipes: ['hoo', 'sho'], outputs, sheet: { size: 200 } }),
        folder,
      });
      expect([made, failed, sheet!.status, sheet!.why]).toEqual([3, 1, 'made', 'new']);
      const names = ['Arc hoo', 'Arc sho', 'Rim hoo'];
      for (const [i, name] of names.entries()) {
        // Masters that are no larger than a cell are not shrunk.
        const { data } = await pixels(join(folder, `out/${name}.png`));
        expect((await cellOf(sheet!.output, i, 4, 2)).equals(data), name).toBe(true);
      }
      expect(new Set(await cellOf(sheet!.output, 3, 4, 2))).toEqual(new Set([GROUND]));
      const onPage = await sheetOnPage(join(folder, 'masters'));
      expect((await pixels(onPage)).data.equals((await pixels(sheet!.output)).data)).toBe(true);
    }));

  it('shows the first output of each job, smaller pictures in the middle of their cells', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc', 'Rim']);
      const masters = (name: string) => ({ H: `masters/${name}-H.fits`, O: `masters/${name}-O.fits` });
      const whole = { file: '{target}.png', bits: 8 as const };
      const cropped = { file: 'cut/{target}.png', bits: 8 as const, crop: true };
      const targets = [
        { name: 'Arc', masters: masters('Arc'), outputs: [whole, cropped] },
        { name: 'Rim', masters: masters('Rim'), outputs: [cropped, whole] },
      ];
      const { sheet } = await batchFiles({ plan: plan({ targets, recipes: ['hoo'], sheet: { size: 200 } }), folder });
      expect((await cellOf(sheet!.output, 0, 2, 1)).equals((await pixels(join(folder, 'out/Arc.png'))).data)).toBe(
        true,
      );
      const cell = await cellOf(sheet!.output, 1, 2, 1);
      const { data, info } = await pixels(join(folder, 'out/cut/Rim.png'));
      expect(info.width * info.height).toBeLessThan(WIDTH * HEIGHT);
      const [left, top] = [(WIDTH - info.width) >> 1, (HEIGHT - info.height) >> 1];
      for (let y = 0; y < HEIGHT; y++)
        for (let x = 0; x < WIDTH; x++) {
          const inside = x >= left && x < left + info.width && y >= top && y < top + info.height;
          const at = 3 * ((y - top) * info.width + x - left);
          for (let b = 0; b < 3; b++)
            if (cell[3 * (y * WIDTH + x) + b] !== (inside ? data[at + b] : GROUND))
              throw new Error(`wrong at ${x},${y}`);
        }
    }));

  it('is as small as asked for, and drawn again for another size or a picture that went', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc']);
      const run = async (size: number) =>
        (await batchFiles({ plan: plan({ recipes: ['hoo'], sheet: { file: 'a/all.tif', size } }), folder })).sheet!;
      const sheet = await run(60);
      expect(sheet).toEqual({ output: join(folder, 'out/a/all.tif'), status: 'made', why: 'new' });
      const { width, height } = await sharp(sheet.output).metadata();
      const layout = layOutSheet(1, 60, 40, 1);
      expect([width, height]).toEqual([layout.width, layout.height]);
      expect((await run(60)).status).toBe('kept');
      expect(await run(90)).toMatchObject({ status: 'made', why: 'pictures changed' });
    }));

  it('that cannot be written fails without harm to the pictures', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc']);
      writeFileSync(join(folder, 'file'), '');
      const result = await batchFiles({
        plan: plan({ recipes: ['hoo'], into: '.', outputs: ['{target}.tif'], sheet: { file: 'file/all.png' } }),
        folder,
      });
      expect(result).toMatchObject({ made: 1, sheet: { status: 'failed', why: expect.stringMatching(/file/) } });
    }));
});
