import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type BatchOptions, batchFiles, planBatch } from '../../../lib/node/batch/batch-files.ts';
import type { BatchPlan } from '../../../lib/node/batch/schema.ts';
import { mixFiles } from '../../../lib/node/mix-files.ts';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { VERSION } from '../../../lib/plane/version.ts';
import { noteText } from '../../../lib/recipe/share/note.ts';
import { inTurn } from '../../cases.ts';
import { inFolder, plan, writeTargets } from './scene.ts';

const run = (folder: string, more: Partial<BatchPlan> = {}, options: Partial<BatchOptions> = {}) =>
  batchFiles({ plan: plan(more), folder, ...options });

const two = ['Arc', 'Rim'];

describe('batchFiles', () => {
  it('makes every target by every recipe, the same bytes as the mix of files', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), two);
      const result = await run(folder);
      expect(result).toMatchObject({ made: 6, kept: 0, failed: 0, left: 0 });
      expect(readdirSync(join(folder, 'out'))).toEqual(
        two.flatMap((target) => ['ember', 'hoo', 'sho'].map((recipe) => `${target} ${recipe}.tif`)),
      );
      const inputs = Object.fromEntries(
        ['S', 'H', 'O'].map((line) => [line, join(folder, `masters/Rim-${line}.fits`)]),
      );
      await mixFiles({ recipe: catalogueRecipe('ember'), inputs, output: join(folder, 'by-hand.tif') });
      expect(readFileSync(join(folder, 'by-hand.tif')).equals(readFileSync(join(folder, 'out/Rim ember.tif')))).toBe(
        true,
      );
    }));

  it.skipIf(!inTurn('again only'))('makes again only what changed, and says why', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), two);
      await run(folder);
      const inode = (name: string) => statSync(join(folder, 'out', name)).ino;
      const before = inode('Arc sho.tif');
      expect(await run(folder)).toMatchObject({ made: 0, kept: 6 });
      expect(inode('Arc sho.tif')).toBe(before);

      await writeTargets(join(folder, 'masters'), ['Rim'], 77);
      copyFileSync(join(folder, 'masters/Arc-S.fits'), join(folder, 'masters/Rim-S.fits'));
      const night = await run(folder);
      expect(night).toMatchObject({ made: 3, kept: 3 });
      expect(night.pictures.filter(({ status }) => status === 'made').map(({ why }) => why)).toEqual([
        'S changed',
        'H changed',
        'S changed',
      ]);

      const form = await run(folder, { outputs: [{ file: '{target} {recipe}.tif', bits: 8 }] });
      expect(form.pictures.map(({ why }) => why)).toEqual(Array(6).fill('size, bits, alpha or crop changed'));
      const names = ['sho', 'hoo', 'ember'];
      const turned = names.map((name) => ({ recipe: { ...catalogueRecipe(name)!, greenLimit: 0.5 }, name }));
      const recipe = await run(folder, { recipes: turned, outputs: [{ file: '{target} {recipe}.tif', bits: 8 }] });
      expect(new Set(recipe.pictures.map(({ why }) => why))).toEqual(new Set(['the recipe changed']));
      expect(await run(folder, {}, { force: true })).toMatchObject({ made: 6, kept: 0 });
    }),
  );

  it('keeps a picture whose recipe changed only in words', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Rim']);
      const named = (about: string) => ({ recipes: [{ recipe: { ...catalogueRecipe('hoo'), about }, name: 'hoo' }] });
      await run(folder, named('one'));
      expect(await run(folder, named('two'))).toMatchObject({ made: 0, kept: 1 });
    }));

  it('redoes what another version made', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Rim']);
      await run(folder, { recipes: ['hoo'] });
      const path = join(folder, 'out/Rim hoo.tif');
      const old = readFileSync(path, 'latin1').replace(/\{"linewash":.*?"sha256":"[0-9a-f]{64}"\}(?=\0)/s, (text) => {
        const { sha256: _, ...note } = JSON.parse(text);
        return noteText({ ...note, writer: '0.0.9' });
      });
      writeFileSync(path, old, 'latin1');
      const { pictures } = await run(folder, { recipes: ['hoo'] });
      expect(pictures[0]).toMatchObject({ status: 'made', why: `linewash 0.0.9 → ${VERSION}` });
    }));

  it('does not replace what linewash did not make', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Rim']);
      mkdirSync(join(folder, 'out'));
      writeFileSync(join(folder, 'out/Rim hoo.tif'), 'mine');
      const result = await run(folder);
      expect(result).toMatchObject({ made: 2, failed: 1 });
      expect(result.pictures[1]!.why).toMatch(/exists already, and linewash did not make it/);
      expect(readFileSync(join(folder, 'out/Rim hoo.tif'), 'utf8')).toBe('mine');
      expect(await run(folder, {}, { force: true })).toMatchObject({ made: 3 });
    }));

  it('goes on where one target is bad, and names the file and the reason', () =>
    inFolder(async (folder) => {
      const masters = join(folder, 'masters');
      await writeTargets(masters, [...two, 'Short', 'Missing', 'Wide']);
      truncateSync(join(masters, 'Short-H.fits'), 5000);
      rmSync(join(masters, 'Missing-O.fits'));
      writeFileSync(join(masters, 'Wide-S.fits'), 'no picture');
      const result = await run(folder);
      const bad = result.pictures.filter(({ status }) => status === 'failed');
      expect(result).toMatchObject({ made: 7, failed: 8 });
      const whys = bad.map(({ target, recipe, why }) => `${target} ${recipe}: ${why}`).join('\n');
      expect(whys).toMatch(/Missing sho: no master for O \(found: H, S\)/);
      expect(whys).toMatch(/Short hoo: .*Short-H\.fits: /);
      expect(whys).toMatch(/Wide ember: .*Wide-S\.fits: /);
      expect(readdirSync(join(folder, 'out')).some((name) => name.endsWith('-part'))).toBe(false);
    }));

  it(
    'makes 21 of 24 pictures where one master of 8 targets is bad',
    () =>
      inFolder(async (folder) => {
        const names = Array.from({ length: 8 }, (_, i) => `Wisp ${i + 1}`);
        await writeTargets(join(folder, 'masters'), names);
        truncateSync(join(folder, 'masters/Wisp 7-O.fits'), 9000);
        const result = await run(folder);
        expect(result).toMatchObject({ made: 21, failed: 3, kept: 0, left: 0 });
        const bad = result.pictures.filter(({ status }) => status === 'failed');
        for (const { target, why } of bad)
          expect([target, why]).toEqual(['Wisp 7', expect.stringMatching(/7-O\.fits: /)]);
        expect(readdirSync(join(folder, 'out')).length).toBe(21);
      }),
    60_000,
  );

  it.skipIf(!inTurn('several formats'))(
    'writes several formats and sizes of one mix, with names and folders as asked',
    () =>
      inFolder(async (folder) => {
        await writeTargets(join(folder, 'masters'), ['Rim']);
        const outputs: BatchPlan['outputs'] = [
          '{target}/{line}/{recipe}.tif',
          { file: 'web/{target}-{recipe}.png', size: 60, bits: 8 },
          { file: '{target}.fits', alpha: true, crop: true },
        ];
        const recipes = [{ recipe: 'kiln', name: 'warm', knobs: { share: 0.4 } }];
        expect(await run(folder, { outputs, recipes })).toMatchObject({ made: 3, failed: 0 });
        expect(readdirSync(join(folder, 'out'), { recursive: true }).map(String).sort()).toEqual(
          ['Rim', 'Rim.fits', 'Rim/SHO', 'Rim/SHO/warm.tif', 'web', 'web/Rim-warm.png']
            .map((name) => join(name))
            .sort(),
        );
        const png = readFileSync(join(folder, 'out/web/Rim-warm.png'));
        expect([png.readUInt32BE(16), png.readUInt32BE(20), png[24]]).toEqual([60, 40, 8]);
        expect(await run(folder, { outputs, recipes })).toMatchObject({ kept: 3 });
      }),
  );

  it.skipIf(!inTurn('whole batch'))('draws the whole batch as one sheet, and again only where something changed', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), two);
      rmSync(join(folder, 'masters/Arc-S.fits'));
      const more = { sheet: { size: 64 } };
      const first = await run(folder, more);
      expect(first.sheet).toMatchObject({ status: 'made', output: join(folder, 'out/sheet.png') });
      expect((await run(folder, more)).sheet).toMatchObject({ status: 'kept' });
      await writeTargets(join(folder, 'masters'), ['Rim'], 50);
      expect((await run(folder, more)).sheet).toMatchObject({ status: 'made', why: 'pictures changed' });
      writeFileSync(join(folder, 'out/sheet.png'), 'mine');
      expect((await run(folder, more)).sheet).toMatchObject({ status: 'failed' });
      expect(readFileSync(join(folder, 'out/sheet.png'), 'utf8')).toBe('mine');
    }),
  );

  it('reports progress and can be stopped; the next run goes on', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), two);
      const stop = new AbortController();
      const seen: number[] = [];
      const result = await run(
        folder,
        {},
        {
          signal: stop.signal,
          progress: (pace, report) => {
            seen.push(pace.share);
            if (report && pace.done === 2) stop.abort();
          },
        },
      );
      expect(result).toMatchObject({ made: 2, left: 4, failed: 0 });
      expect(seen).toEqual([...seen].sort((a, b) => a - b));
      expect(readdirSync(join(folder, 'out')).length).toBe(2);
      expect(await run(folder)).toMatchObject({ made: 4, kept: 2 });
    }));

  it.skipIf(!inTurn('the middle'))('stops in the middle of a picture and leaves nothing of it', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Rim']);
      const stop = new AbortController();
      const progress: BatchOptions['progress'] = (_, report) => {
        if (report === undefined) stop.abort();
      };
      expect(await run(folder, {}, { signal: stop.signal, progress })).toMatchObject({ made: 0, left: 3 });
      expect(readdirSync(join(folder, 'out'))).toEqual([]);
    }),
  );

  it('takes targets one by one, with lines, recipes and outputs of their own', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), two);
      const [arc, rim] = two.map((name) => ({ H: `masters/${name}-H.fits`, O: `masters/${name}-O.fits` }));
      const result = await run(folder, {
        recipes: ['hoo'],
        targets: [
          { name: 'Arc', masters: arc! },
          { name: 'Both', masters: { H: [arc!.H, rim!.H], O: rim!.O }, outputs: ['{target}/x.png'] },
        ],
      });
      expect(result).toMatchObject({ made: 2, failed: 0 });
      expect(result.pictures[1]!.warnings.join()).toMatch(/2 masters combined/);
      expect(existsSync(join(folder, 'out/Both/x.png'))).toBe(true);
    }));

  it.skipIf(process.getuid?.() === 0)('names a folder that cannot be written', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Rim']);
      mkdirSync(join(folder, 'out'));
      chmodSync(join(folder, 'out'), 0o500);
      const result = await run(folder);
      expect(result).toMatchObject({ failed: 3 });
      expect(result.pictures[0]!.why).toMatch(/permission denied/);
    }),
  );
});

describe('odd names', () => {
  it.skipIf(!inTurn('all processed'))('are all processed', () =>
    inFolder(async (folder) => {
      const names = [
        'two words',
        'Πλέγμα Ἀλκυόνης',
        '星雲の北',
        `it's "quoted"`,
        '-leading dash',
        '--force',
        '*star?[x]{y}',
        '$(touch x) `id` $HOME; & | !',
        'back\\slash',
        'line\nbreak',
        'caf\u00e9',
        'cafe\u0301 two',
        'comma, [2]#1',
        ' space ',
      ];
      await writeTargets(join(folder, 'masters'), names);
      const result = await run(folder, { recipes: ['hoo'] });
      expect(result.pictures.filter(({ status }) => status !== 'made')).toEqual([]);
      expect(result.made).toBe(names.length);
      const made = readdirSync(join(folder, 'out'));
      expect(made.length).toBe(names.length);
      for (const name of made) expect(name.normalize('NFC')).toBe(name);
      expect(await run(folder, { recipes: ['hoo'] })).toMatchObject({ kept: names.length });
    }),
  );
});

describe('planBatch refuses before any work', () => {
  const refuses = (more: Partial<BatchPlan>, message: RegExp, prepare: (folder: string) => void = () => {}) =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), two);
      prepare(folder);
      await expect(planBatch({ plan: plan(more), folder })).rejects.toThrow(message);
      expect(existsSync(join(folder, 'out'))).toBe(false);
    });

  it('one name for two pictures', () =>
    refuses({ outputs: ['{target}.tif'] }, /names are used twice.*Arc by sho; Arc by hoo/));
  it('names that differ in case', () =>
    refuses(
      {
        recipes: [
          { recipe: 'sho', name: 'Warm' },
          { recipe: 'hoo', name: 'wARM' },
        ],
      },
      /used twice/,
    ));
  it('names that differ in Unicode form', () =>
    refuses(
      {
        recipes: [
          { recipe: 'sho', name: 'caf\u00e9' },
          { recipe: 'hoo', name: 'cafe\u0301' },
        ],
      },
      /used twice/,
    ));
  it('a name of the sheet', () => refuses({ sheet: { file: 'Arc sho.tif' } }, /the sheet/));
  it('a file that would be a folder', () =>
    refuses({ outputs: ['x{target}.tif', 'x{target}.tif/{recipe}.tif'], recipes: ['hoo'] }, /a folder of/));
  it('a master as output, even through a link', () =>
    refuses({ into: 'linked', outputs: ['{target}-S.fits'], recipes: ['sho'] }, /a master/, (folder) =>
      symlinkSync(join(folder, 'masters'), join(folder, 'linked')),
    ));
  it('an unknown recipe', () => refuses({ recipes: ['embre'] }, /there is no recipe file/));
  it('a pattern that finds nothing', () =>
    refuses({ targets: [{ pattern: '{target}_{line}.fits' }] }, /no masters match/));
  it('a folder that is not there', () =>
    refuses({ targets: [{ pattern: '{target}-{line}.fits', folder: 'nowhere' }] }, /cannot be read/));
  it('a knob that no recipe has', () =>
    refuses(
      { targets: [{ pattern: '{target}-{line}.fits', folder: 'masters', knobs: { spark: 1 } }] },
      /the knob spark/,
    ));
});
