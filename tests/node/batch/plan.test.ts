import { mkdirSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { describe, expect, it } from 'vitest';
import { planBatch } from '../../../lib/node/batch/batch-files.ts';
import { parseBatch } from '../../../lib/node/batch/parse.ts';
import { type BatchPlan, LONGEST_PLAN, MOST_TARGETS } from '../../../lib/node/batch/schema.ts';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { recipeLink } from '../../../lib/recipe/share/link.ts';
import { inFolder, plan, writeTargets } from './scene.ts';

/** Empty files: plans look at names, and at headers only where names do not tell the line. */
const touch = (folder: string, ...names: string[]) => {
  for (const name of names) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), '');
  }
};

/** What is found out in a fresh folder. */
const inFresh = async <T>(use: (folder: string) => Promise<T>): Promise<T> => {
  let value: T;
  await inFolder(async (folder) => {
    value = await use(folder);
  });
  return value!;
};

const planned = (folder: string, more: Partial<BatchPlan>) => planBatch({ plan: plan(more), folder });

/** Targets with their lines and the files of these below the folder. */
const found = async (folder: string, target: BatchPlan['targets'][number]) => {
  const { jobs } = await planned(folder, { targets: [target], recipes: ['hoo'] });
  return jobs.map(({ target: { name, masters, fault } }) => ({
    name,
    ...Object.fromEntries(
      Object.entries(masters).map(([line, files]) => [line, files.map((file) => relative(folder, file)).join()]),
    ),
    ...(fault !== undefined && { fault }),
  }));
};

describe('targets found by a pattern', () => {
  it('are those of all folders that match, by name; what starts with a dot, and folders for files, are not meant', () =>
    inFolder(async (folder) => {
      touch(
        folder,
        'b/Rim-Ha.fits',
        'b/Rim-OIII.fits',
        'a/Arc-H.fits',
        'a/Arc-O.fits',
        'a/.Old-H.fits',
        '.c/New-H.fits',
      );
      touch(folder, 'a/deeper/Far-H.fits', 'Near-H.fits', 'a/notes.txt', 'b/Rim-flat.fits');
      mkdirSync(join(folder, 'a/Dir-H.fits'));
      expect(await found(folder, { pattern: '*/{target}-{line}.fits' })).toEqual([
        { name: 'Arc', H: 'a/Arc-H.fits', O: 'a/Arc-O.fits' },
        { name: 'Rim', H: 'b/Rim-Ha.fits', O: 'b/Rim-OIII.fits' },
      ]);
      expect(await found(folder, { pattern: '{target}-{line}.fits', folder: 'a/deeper' })).toEqual([
        { name: 'Far', H: 'a/deeper/Far-H.fits' },
      ]);
    }));

  it('take words for lines as told, else as channels whatever their case, else as usual spellings', () =>
    inFolder(async (folder) => {
      touch(folder, 'Rim_red.fits', 'Rim_o.fits', 'Arc_Ha.fits', 'Arc_blue.fits', 'Arc_constructor.fits');
      const lines = { red: 'H' };
      expect(await found(folder, { pattern: '{target}_{line}.fits', lines })).toEqual([
        { name: 'Arc', H: 'Arc_Ha.fits' },
        { name: 'Rim', H: 'Rim_red.fits', O: 'Rim_o.fits' },
      ]);
      expect(await found(folder, { pattern: '{target}_{line}.fits' })).toEqual([
        { name: 'Arc', H: 'Arc_Ha.fits' },
        { name: 'Rim', O: 'Rim_o.fits' },
      ]);
    }));

  it('have lines by their headers where names do not tell, and others are passed over', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc']);
      touch(folder, 'masters/Arc-none.fits');
      expect(await found(folder, { folder: 'masters', pattern: '{target}-?.fits' })).toEqual([
        { name: 'Arc', H: 'masters/Arc-H.fits', O: 'masters/Arc-O.fits', S: 'masters/Arc-S.fits' },
      ]);
      expect(await found(folder, { folder: 'masters', pattern: '{target}-*.fits' })).toEqual([
        { name: 'Arc', H: 'masters/Arc-H.fits', O: 'masters/Arc-O.fits', S: 'masters/Arc-S.fits' },
      ]);
    }));

  it('are fewer where only some are wanted, which must be there, in any Unicode form', () =>
    inFolder(async (folder) => {
      touch(folder, 'Arc-H.fits', 'Rim-H.fits', 'caf\u00e9-H.fits', 'cafe\u0301-O.fits');
      const pattern = '{target}-{line}.fits';
      const names = async (only?: string[]) =>
        (await found(folder, { pattern, ...(only && { only }) })).map(({ name }) => name);
      expect(await names()).toEqual(['Arc', 'Rim', 'caf\u00e9']);
      expect(await names(['cafe\u0301', 'Arc'])).toEqual(['Arc', 'caf\u00e9']);
      await expect(names(['Arc', 'None'])).rejects.toThrow(/no masters of None/);
      await expect(names(['None'])).rejects.toThrow(/no masters match/);
    }));

  it('with two files of one line have that fault, and others have none', () =>
    inFolder(async (folder) => {
      touch(folder, 'Arc-H.fits', 'Arc-Ha.fits', 'Rim-H.fits');
      const [arc, rim] = await found(folder, { pattern: '{target}-{line}.fits' });
      expect(arc!.fault).toMatch(/^2 files stand for H: .*Arc-H\.fits, .*Arc-Ha\.fits$/);
      expect(rim).toEqual({ name: 'Rim', H: 'Rim-H.fits' });
    }));
});

describe('jobs of a plan', () => {
  const target = { name: 'Rim', masters: { S: 's.fits', H: ['h1.fits', 'h2.fits'], O: 'o.fits', X: 'x.fits' } };
  const jobs = async (more: Partial<BatchPlan>) =>
    inFresh(async (folder) => (await planned(folder, { targets: [target], recipes: ['hoo'], ...more })).jobs);
  it('take the masters that the recipe needs, several of one line as one spelling, by their full paths', () =>
    inFolder(async (folder) => {
      const { jobs: some } = await planned(folder, { targets: [target], recipes: ['hoo', 'sho'] });
      expect(some.map(({ pictures }) => pictures[0]!.inputs)).toEqual([
        { H: `${join(folder, 'h1.fits')},${join(folder, 'h2.fits')}`, O: join(folder, 'o.fits') },
        {
          S: join(folder, 's.fits'),
          H: `${join(folder, 'h1.fits')},${join(folder, 'h2.fits')}`,
          O: join(folder, 'o.fits'),
        },
      ]);
      expect(some[0]!.pictures[0]!.output).toBe(join(folder, 'out/Rim hoo.tif'));
    }));

  it('fill outputs with defaults; bits only where the format has them', async () => {
    const [filled] = await jobs({
      defaults: { bits: 8, size: 800, alpha: true, crop: true, space: 'display-p3' },
      outputs: ['a.tif', 'b.fits', { file: 'c.png', bits: 16, size: 99, alpha: false, crop: false, space: 'srgb' }],
    });
    expect(filled!.pictures.map(({ sample, size, alpha, crop, space }) => [sample, size, alpha, crop, space])).toEqual([
      ['u8', 800, true, true, 'display-p3'],
      ['f32', 800, true, true, 'display-p3'],
      ['u16', 99, false, false, 'srgb'],
    ]);
    const [usual] = await jobs({ outputs: ['a.tif', 'b.fits', { file: 'c.tif', bits: 32 }, 'd.png'] });
    expect(usual!.pictures.map(({ sample }) => sample)).toEqual(['u16', 'f32', 'f32', 'u16']);
    expect(usual!.pictures[0]).toMatchObject({ alpha: false, crop: false });
    expect(usual!.pictures[0]).not.toHaveProperty('size');
    expect(usual!.pictures[0]).not.toHaveProperty('space');
  });

  it('name recipes by their file, catalogue name, own name, or place', async () => {
    const matrix = [[1], [1], [1]];
    const named = await recipeLink({ ...catalogueRecipe('hoo')!, name: 'From afar' });
    const recipes = [
      'hoo',
      { recipe: 'hoo', name: 'mine' },
      { recipe: { name: 'Inner', channels: ['H'], matrix } },
      { recipe: { channels: ['H'], matrix } },
      named,
      'warm.v2.json',
    ];
    const names = await inFresh(async (folder) => {
      writeFileSync(join(folder, 'warm.v2.json'), JSON.stringify(catalogueRecipe('hoo')));
      return (await planned(folder, { targets: [target], recipes })).jobs.map(({ recipe }) => recipe.name);
    });
    expect(names).toEqual(['hoo', 'mine', 'Inner', 'recipe 4', 'From afar', 'warm.v2']);
  });

  it('join the lines of a recipe in {line}, with dashes where one has a longer name', async () => {
    const outputs = ['{recipe} {line}.tif'];
    const recipe = {
      channels: ['H', 'X'],
      matrix: [
        [1, 0],
        [0, 1],
        [0, 1],
      ],
    };
    const long = { channels: ['H', 'Ne5'], matrix: recipe.matrix };
    const some = await jobs({
      outputs,
      recipes: ['sho', { recipe, name: 'two' }, { recipe: long, name: 'long' }],
    });
    const names = some.map(({ pictures }) => pictures[0]!.output.split('/').at(-1));
    expect(names).toEqual(['sho SHO.tif', 'two HX.tif', 'long H-Ne5.tif']);
    expect(some.map(({ pictures }) => pictures[0]!.fault)).toEqual([
      undefined,
      undefined,
      'no master for Ne5 (found: S, H, O, X)',
    ]);
  });

  it('set knobs of a target on the recipes that have them, and leave the others', async () => {
    const recipes = ['hoo', { recipe: 'kiln', knobs: { share: 0.2 } }];
    const some = await jobs({ recipes, targets: [target, { ...target, name: 'Arc', knobs: { share: 0.625 } }] });
    const share = some.map(({ pictures }) => pictures[0]!.written.knobs?.share?.value);
    expect(share).toEqual([undefined, 0.2, undefined, 0.625]);
    expect(some.map(({ recipe }) => (recipe.entry.knobs as any)?.share)).toEqual([undefined, 0.2, undefined, 0.625]);
  });

  it('take recipes and outputs of their own target', async () => {
    const own = { ...target, name: 'Arc', recipes: ['sho'], outputs: ['own/{recipe}.png'] };
    const some = await jobs({ targets: [target, own] });
    expect(some.map(({ target: { name }, recipe, pictures }) => [name, recipe.name, pictures[0]!.sample])).toEqual([
      ['Rim', 'hoo', 'u16'],
      ['Arc', 'sho', 'u16'],
    ]);
    expect(some[1]!.pictures[0]!.output).toMatch(/out\/own\/sho\.png$/);
  });

  it('have a sheet unless there is to be none', () =>
    inFolder(async (folder) => {
      const text = { ...plan({ targets: [target], recipes: ['hoo'] }) };
      const sheet = async (wish: BatchPlan['sheet']) => {
        const { sheet: _, ...rest } = text;
        return (await planBatch({ plan: wish === undefined ? rest : { ...rest, sheet: wish }, folder })).sheet;
      };
      expect(await sheet(undefined)).toEqual({ file: join(folder, 'out/sheet.png'), size: 320 });
      expect(await sheet({ file: 'all/of it.tif', size: 99 })).toEqual({
        file: join(folder, 'out/all/of it.tif'),
        size: 99,
      });
      expect(await sheet(null)).toBeUndefined();
    }));
});

describe('a plan', () => {
  const text = (more: object = {}) =>
    JSON.stringify({
      targets: [{ name: 'Rim', masters: { H: 'h.fits', O: 'o.fits' } }],
      recipes: ['hoo'],
      outputs: ['{target}.tif'],
      ...more,
    });
  const outputs = async (options: Parameters<typeof planBatch>[0]) =>
    (await planBatch(options)).jobs.flatMap(({ pictures }) => pictures.map(({ output }) => output));

  it('is a file, text, or plain data; names are relative to its folder, the folder given, or here', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'plan.json');
      writeFileSync(file, `\ufeff${text()}`);
      expect(await outputs({ plan: file })).toEqual([join(folder, 'Rim.tif')]);
      expect(await outputs({ plan: file, folder: '/elsewhere' })).toEqual(['/elsewhere/Rim.tif']);
      expect(await outputs({ plan: `\n ${text()}` })).toEqual([join(process.cwd(), 'Rim.tif')]);
      expect(await outputs({ plan: text(), folder })).toEqual([join(folder, 'Rim.tif')]);
      expect(await outputs({ plan: JSON.parse(text({ into: 'x' })), folder })).toEqual([join(folder, 'x/Rim.tif')]);
    }));

  it('is refused where it is not text, or too long for one', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'plan.json');
      writeFileSync(file, Buffer.from(text({ about: 'caf\u00e9' }), 'latin1'));
      await expect(planBatch({ plan: file })).rejects.toThrow(/not text in UTF-8/);
      writeFileSync(file, text());
      truncateSync(file, LONGEST_PLAN + 1);
      await expect(planBatch({ plan: file })).rejects.toThrow(/too long/);
      await expect(planBatch({ plan: join(folder, 'none.json') })).rejects.toThrow(/no such file/);
    }));

  it('takes as many targets as a folder may give, and says how many that are', { timeout: 120_000 }, async () => {
    const targets = (count: number) =>
      Array.from({ length: count }, (_, i) => ({ name: `T${i}`, masters: { H: 'h.fits', O: 'o.fits' } }));
    const outputs = ['{target}.tif'];
    const { targets: found } = parseBatch(text({ targets: targets(MOST_TARGETS), recipes: ['hoo'], outputs }));
    expect(found).toHaveLength(MOST_TARGETS);
    const more = text({ targets: targets(MOST_TARGETS + 1), recipes: ['hoo'], outputs });
    expect(() => parseBatch(more)).toThrow(/at most 20000/);
  });

  it('falls into parts that share nothing, are as long as each other and are the whole in its order', async () => {
    const recipes = ['sho', 'hoo', 'ember', 'gilt', 'kiln', 'dusk', 'lantern'];
    const masters = { S: 's.fits', H: 'h.fits', O: 'o.fits' };
    const whole = JSON.parse(text({ targets: [{ name: 'Rim', masters }], recipes, outputs: ['{recipe}.tif'] }));
    for (const count of [1, 2, 3, 7, 9]) {
      const parts: string[][] = [];
      for (let index = 1; index <= count; index++) {
        const work = await planBatch({ plan: whole, shard: { index, count } });
        expect(work.sheet).toBeUndefined();
        parts.push(work.jobs.map(({ recipe }) => recipe.name));
      }
      expect(parts.flat()).toEqual(recipes);
      const lengths = parts.map((part) => part.length);
      expect(Math.max(...lengths) - Math.min(...lengths)).toBeLessThanOrEqual(1);
    }
  });

  it('may not write its report over a result or a master', () =>
    inFolder(async (folder) => {
      touch(folder, 'h.fits', 'o.fits');
      const reserved = (name: string) => planBatch({ plan: JSON.parse(text()), folder, reserved: join(folder, name) });
      await expect(reserved('Rim.tif')).rejects.toThrow(/Rim by hoo; the report/);
      await expect(reserved('RIM.TIF')).rejects.toThrow(/the report/);
      symlinkSync(join(folder, 'o.fits'), join(folder, 'link'));
      await expect(reserved('link')).rejects.toThrow(/a master; the report/);
      expect((await reserved('report.jsonl')).jobs).toHaveLength(1);
    }));
});
