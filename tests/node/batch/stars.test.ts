import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { planOfJob, soundJobs } from '../../../lib/cli/batch-jobs.ts';
import { writeMono } from '../../../lib/formats/fits/write.ts';
import { formatOf } from '../../../lib/formats/pictures.ts';
import { type BatchOptions, batchFiles, planBatch } from '../../../lib/node/batch/batch-files.ts';
import { initPlan } from '../../../lib/node/batch/init.ts';
import { noteOf } from '../../../lib/node/batch/note-of.ts';
import type { BatchPlan } from '../../../lib/node/batch/schema.ts';
import { targetOfStars } from '../../../lib/node/batch/star-picture.ts';
import { mixFiles } from '../../../lib/node/mix-files.ts';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { memorySink } from '../../../lib/plane/bytes.ts';
import { drawMaster, OBJECT, sceneTruth } from '../../../samples/scene/index.ts';
import { inFolder, plan, readJson, writeTargets } from './scene.ts';

const two = ['Arc', 'Rim'];
const [WIDTH, HEIGHT] = [120, 80];

/** White dots of the given strength on black, `every` so many pixels. */
const writeStars = async (file: string, strength: number, every = 97): Promise<void> => {
  const sink = memorySink();
  const rows = new Float32Array(WIDTH * HEIGHT * 3).map((_, i) => (Math.floor(i / 3) % every === 0 ? strength : 0));
  const sample = file.endsWith('.fits') ? 'f32' : 'u16';
  const info = { width: WIDTH, height: HEIGHT, bands: 3, sample, space: 'srgb', note: '' } as const;
  const writer = await formatOf(file)!.writer(sink, info);
  await writer.writeRows(sample === 'f32' ? rows : Uint16Array.from(rows, (v) => 65535 * v));
  await writer.finish();
  await sink.close();
  writeFileSync(file, sink.bytes());
};

const starry = (more: Partial<BatchPlan> = {}) =>
  plan({
    targets: [{ folder: 'masters', pattern: '{target}-{line}.fits', stars: '{target}-stars.tif' }],
    recipes: ['hoo'],
    ...more,
  });

const withStars = (use: (folder: string) => Promise<void>) =>
  inFolder(async (folder) => {
    await writeTargets(join(folder, 'masters'), two);
    for (const name of two) await writeStars(join(folder, `masters/${name}-stars.tif`), 1);
    await use(folder);
  });

const run = (folder: string, more: Partial<BatchPlan> = {}, options: Partial<BatchOptions> = {}) =>
  batchFiles({ plan: starry(more), folder, ...options });

const noteIn = async (file: string): Promise<any> => {
  const found = await noteOf(file);
  if (found.kind !== 'ours') throw new Error(`${file} carries no note`);
  return found.note;
};

describe('stars in a batch', () => {
  it('are found by name, laid over as `mix` does it, and noted', () =>
    withStars(async (folder) => {
      expect(await run(folder)).toMatchObject({ made: 2, failed: 0 });
      const output = join(folder, 'by-hand.tif');
      const [H, O] = ['H', 'O'].map((line) => join(folder, `masters/Rim-${line}.fits`));
      const stars = join(folder, 'masters/Rim-stars.tif');
      await mixFiles({ recipe: catalogueRecipe('hoo'), inputs: { H: H!, O: O! }, output, stars });
      expect(readFileSync(output).equals(readFileSync(join(folder, 'out/Rim hoo.tif')))).toBe(true);
      const { inputs, settled } = await noteIn(join(folder, 'out/Arc hoo.tif'));
      expect(inputs.map(({ channel, file }: any) => [channel, file])).toEqual([
        ['H', 'Arc-H.fits'],
        ['O', 'Arc-O.fits'],
        ['stars', 'Arc-stars.tif'],
      ]);
      expect(settled.stars.strength).toBe(1);
    }));

  it('make a picture out of date when they change, and when they come or go', () =>
    withStars(async (folder) => {
      await run(folder);
      expect(await run(folder)).toMatchObject({ kept: 2 });
      await writeStars(join(folder, 'masters/Rim-stars.tif'), 0.5);
      const night = await run(folder);
      expect(night.pictures.map(({ status, why }) => [status, why])).toEqual([
        ['kept', 'up to date'],
        ['made', 'stars changed'],
      ]);
      const less = await run(folder, { defaults: { stars: false } });
      expect(less.pictures.map(({ why }) => why)).toEqual(['other stars', 'other stars']);
      expect((await run(folder)).pictures.map(({ why }) => why)).toEqual(['other stars', 'other stars']);
    }));

  it('are left out of single outputs', () =>
    withStars(async (folder) => {
      const outputs = ['{target} {recipe}.tif', { file: 'starless/{target} {recipe}.tif', stars: false }];
      expect(await run(folder, { outputs })).toMatchObject({ made: 4 });
      expect((await noteIn(join(folder, 'out/Arc hoo.tif'))).settled.stars).toBeDefined();
      expect((await noteIn(join(folder, 'out/starless/Arc hoo.tif'))).settled.stars).toBeUndefined();
      const plain = plan({ recipes: ['hoo'], into: 'plain' });
      await batchFiles({ plan: plain, folder });
      const [a, b] = ['plain/Arc hoo.tif', 'out/starless/Arc hoo.tif'].map((name) => readFileSync(join(folder, name)));
      expect(a!.equals(b!)).toBe(true);
      expect(await run(folder, { outputs })).toMatchObject({ kept: 4 });
    }));

  it('fail the target that lacks them, but not what is made without', () =>
    withStars(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Veil']);
      const outputs = ['{target} {recipe}.tif', { file: '{target} plain.tif', stars: false }];
      const { pictures } = await run(folder, { outputs });
      const failed = pictures.filter(({ status }) => status === 'failed');
      expect(failed.map(({ target, why }) => [target, why])).toEqual([
        ['Veil', 'no picture of the stars matches {target}-stars.tif'],
      ]);
      expect(existsSync(join(folder, 'out/Veil plain.tif'))).toBe(true);
      const { jobs, into } = await planBatch({ plan: starry({ outputs }), folder });
      const lines = soundJobs(jobs).map((job) => planOfJob(job, into));
      expect(lines.map(({ outputs }) => outputs!.length)).toEqual([2, 2, 1]);
    }));

  it.each([
    ['three planes of a cube', 'masters/cube.fits#1..3', ['stars', 'cube.fits']],
    [
      'three files',
      ['masters/Rim-S.fits', 'masters/Rim-H.fits', 'masters/Rim-O.fits'],
      ['stars', 'Rim-S.fits', 'stars', 'Rim-H.fits', 'stars', 'Rim-O.fits'],
    ],
  ])('are %s', (_, stars, noted) =>
    withStars(async (folder) => {
      await writeStars(join(folder, 'masters/cube.fits'), 1);
      const targets = [{ name: 'Rim', masters: { H: 'masters/Rim-H.fits', O: 'masters/Rim-O.fits' }, stars }];
      const first = await run(folder, { targets });
      expect(first.pictures.map(({ why }) => why)).toEqual(['new']);
      expect(first.made).toBe(1);
      const { inputs } = await noteIn(join(folder, 'out/Rim hoo.tif'));
      expect(inputs.slice(2).flatMap(({ channel, file }: any) => [channel, basename(file)])).toEqual(noted);
      expect(await run(folder, { targets })).toMatchObject({ kept: 1 });
      const { jobs, into } = await planBatch({ plan: starry({ targets }), folder });
      // What a line of --jobs does is the same.
      expect(await batchFiles({ plan: planOfJob(jobs[0]!, into), folder: '/' })).toMatchObject({ kept: 1 });
    }),
  );

  it('are never overwritten', () =>
    withStars(async (folder) => {
      const into = { into: 'masters', outputs: ['{target}-stars.tif'] };
      await expect(planBatch({ plan: starry(into), folder })).rejects.toThrow(/a master; Arc by hoo/);
    }));

  it('are found by `batch init`', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'Arc'), ['Arc']);
      for (const name of ['Arc_Stars', 'Nowhere_stars', 'starless'])
        await writeStars(join(folder, `Arc/${name}.tif`), 1);
      const { file, notes } = await initPlan({ folder, recipes: ['hoo'] });
      expect(readJson(file).targets.map(({ name, stars }: any) => [name, stars])).toEqual([
        [OBJECT, 'Arc/Arc_Stars.tif'],
      ]);
      expect(notes.join('; ')).toMatch(/Nowhere_stars\.tif: shows stars, but not plainly whose; left out/);
      expect(notes.join('; ')).toMatch(/starless\.tif: not a readable master; left out/);
      expect(await batchFiles({ plan: file })).toMatchObject({ made: 2, failed: 0, sheet: { status: 'made' } });
      expect((await noteIn(join(folder, `pictures/${OBJECT}/${OBJECT} hoo.tif`))).settled.stars).toBeDefined();
    }));
});

describe('whose stars a picture shows', () => {
  const masters = [
    { path: '/a/Arc-H.fits', target: 'The Arc', name: 'Arc' },
    { path: '/a/Arc-O.fits', target: 'The Arc', name: 'Arc' },
    { path: '/b/H.fits', target: 'Rim', name: '' },
    { path: '/b/c/H.fits', target: 'Veil', name: 'panel 2' },
    { path: '/b/c/O.fits', target: 'Loop', name: 'panel 2' },
  ];
  it.each([
    ['the header', { path: '/x/stars.fits', object: 'Rim', name: '' }, 'Rim'],
    ['the name of masters', { path: '/x/arc-stars.fits', name: 'arc' }, 'The Arc'],
    ['the target', { path: '/x/veil-stars.fits', name: 'veil' }, 'Veil'],
    ['the folder', { path: '/b/stars.tif', name: '' }, 'Rim'],
    ['a header that names no target, then the name', { path: '/x', object: 'GSC 7', name: 'Arc' }, 'The Arc'],
    ['nothing, for two have that name', { path: '/x', name: 'panel 2' }, undefined],
    ['nothing, for two lie in the folder', { path: '/b/c/stars.tif', name: '' }, undefined],
    ['nothing', { path: '/b/other-stars.tif', name: 'other' }, undefined],
  ])('is told by %s', (_, picture, target) => expect(targetOfStars(picture, masters)).toBe(target));
});

describe('the sheet of a batch', () => {
  const pixels = async (file: string) => {
    const { data, info } = await sharp(file).raw().toBuffer({ resolveWithObject: true });
    return { data, ...info };
  };
  const sheetOf = async (folder: string, into: string, more: Partial<BatchPlan>) => {
    const { sheet } = await run(folder, { into, sheet: { size: WIDTH }, ...more });
    expect(sheet).toMatchObject({ status: 'made' });
    return pixels(join(folder, into, 'sheet.png'));
  };

  it('shows the stars', () =>
    withStars(async (folder) => {
      for (const name of two) await writeStars(join(folder, `masters/${name}-stars.tif`), 1, 2);
      const [starred, plain] = [
        await sheetOf(folder, 'a', {}),
        await sheetOf(folder, 'b', { defaults: { stars: false } }),
      ];
      const white = ({ data }: typeof starred) => data.filter((v) => v === 255).length;
      // Every other pixel of both pictures is a star.
      expect(white(starred) - white(plain)).toBeGreaterThan(WIDTH * HEIGHT * 3 * 0.8);
    }));

  it('shows pictures cropped as they are', () =>
    withStars(async (folder) => {
      // The upper 60 of 80 rows are without data.
      const truth = sceneTruth({ width: WIDTH, height: HEIGHT });
      for (const name of two)
        for (const line of ['H', 'O'] as const) {
          const sink = memorySink();
          const writer = writeMono(sink, { width: WIDTH, height: HEIGHT, type: 'u16', cards: [] });
          await writer.writeRows(drawMaster(truth[line], 1).fill(0, 0, WIDTH * 60));
          await writer.finish();
          await sink.close();
          writeFileSync(join(folder, `masters/${name}-${line}.fits`), sink.bytes());
        }
      const [cut, whole] = [await sheetOf(folder, 'a', { defaults: { crop: true } }), await sheetOf(folder, 'b', {})];
      const note = await noteIn(join(folder, 'a/Rim hoo.tif'));
      const { crop } = note.settled;
      // The scene's own turned nights take some more.
      expect([crop.y, crop.height > 10, crop.height <= 20]).toEqual([60, true, true]);
      expect(note.picture).toEqual({ crop: true });
      expect([whole.width - cut.width, whole.height - cut.height]).toEqual([
        WIDTH - crop.width,
        2 * (HEIGHT - crop.height),
      ]);
    }));
});
