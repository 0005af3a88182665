import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../../lib/formats/fits/write.ts';
import { type InitOptions, initPlan } from '../../../lib/node/batch/init.ts';
import { temporaryFor } from '../../../lib/node/files/temporary.ts';
import { memorySink } from '../../../lib/plane/bytes.ts';
import { inFolder, readJson } from './scene.ts';

/** Writes a master of two rows, two columns where no width is given, whose header says what is given, packed where its name says so. */
const write = async (path: string, { width = '2', ...header }: Readonly<Record<string, string>> = {}) => {
  const sink = memorySink();
  const cards = Object.entries(header).map(([keyword, value]) => ({ keyword, value }));
  const writer = writeMono(sink, { width: Number(width), height: 2, type: 'f32', cards });
  await writer.writeRows(Float32Array.from({ length: 2 * Number(width) }, (_, i) => i));
  await writer.finish();
  await sink.close();
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, path.endsWith('.gz') ? gzipSync(sink.bytes()) : sink.bytes());
};

/** A plan made from these files, each with its header. */
const made = async (files: Readonly<Record<string, Record<string, string>>>, options: Partial<InitOptions> = {}) => {
  let result: Awaited<ReturnType<typeof initPlan>> & { plan: any };
  await inFolder(async (folder) => {
    for (const [name, header] of Object.entries(files)) await write(join(folder, name), header);
    const found = await initPlan({ folder, ...options });
    expect(found.file).toBe(join(folder, 'batch.json'));
    const notes = found.notes.map((note) => note.replaceAll(`${folder}/`, ''));
    result = { ...found, notes, plan: readJson(found.file) };
  });
  return result!;
};

describe('masters of several sizes', () => {
  it('make a target each, so that only what can be mixed is combined; what was grouped is said', async () => {
    const { plan, notes } = await made({
      'Rim-Ha.fits': {},
      'Rim-OIII.fits': {},
      'Rim-big-Ha.fits': { OBJECT: 'Rim', width: '5' },
      'Rim-big-2-Ha.fits': { OBJECT: 'Rim', width: '5' },
      'Arc-Ha.fits': { width: '7' },
    });
    expect(plan.targets).toEqual([
      { name: 'Arc', masters: { H: 'Arc-Ha.fits' } },
      { name: 'Rim 2x2', masters: { H: 'Rim-Ha.fits', O: 'Rim-OIII.fits' } },
      { name: 'Rim 5x2', masters: { H: ['Rim-big-2-Ha.fits', 'Rim-big-Ha.fits'] } },
    ]);
    expect(notes).toEqual([
      'Rim: masters of 2 sizes cannot be mixed with each other: kept apart as Rim 2x2 (H, O), Rim 5x2 (H)',
      'Rim 5x2: 2 files of H have one size and will be combined: Rim-big-2-Ha.fits, Rim-big-Ha.fits',
    ]);
  });
});

describe('targets of a new plan', () => {
  it('are by the header, else by the name without its line, else by the folder', async () => {
    const { plan, notes } = await made({
      'a.fits': { OBJECT: ' The Rim ', FILTER: 'Ha' },
      'Arc_master_OIII.fits': {},
      'Arc-Ha-stacked.fts': {},
      'Veil/H-alpha.fit': {},
      'Veil/x/O3.fits.gz': { OBJECT: 'Wisp' },
    });
    expect(notes).toEqual([]);
    expect(plan.targets).toEqual([
      { name: 'Arc', masters: { H: 'Arc-Ha-stacked.fts', O: 'Arc_master_OIII.fits' } },
      { name: 'The Rim', masters: { H: 'a.fits' } },
      { name: 'Veil', masters: { H: 'Veil/H-alpha.fit' } },
      { name: 'Wisp', masters: { O: 'Veil/x/O3.fits.gz' } },
    ]);
  });

  it('are one for all spellings of a line, also those of two words', async () => {
    const { plan, notes } = await made({
      'Rim 2_H-alpha.fits': {},
      'Rim_2_O III.fits': {},
      'Rim-2-S_II.fits': {},
      'Rim.2.n2.fits': {},
    });
    expect(notes).toEqual([]);
    expect(plan.targets.map(({ name, masters }: any) => [name, Object.keys(masters).sort()])).toEqual([
      ['Rim 2', ['H', 'N', 'O', 'S']],
    ]);
  });

  it('leave out, with a reason, what has no line, no target or no picture', async () => {
    const { plan, notes } = await made({
      'Rim-Ha.fits': {},
      'Rim-wide.fits': {},
      'H.fits': {},
      // The header's line counts before the name's.
      'Rim-odd-Ha.fits': { FILTER: 'OIII' },
    });
    expect(plan.targets.map(({ name, masters }: any) => [name, masters])).toEqual([
      ['Rim', { H: 'Rim-Ha.fits' }],
      ['Rim odd Ha', { O: 'Rim-odd-Ha.fits' }],
    ]);
    expect(notes).toHaveLength(2);
    expect(notes[0]).toMatch(/^H\.fits: .*gives the target/);
    expect(notes[1]).toMatch(/^Rim-wide\.fits: .*gives the line/);
  });

  it('take several files of a line together, and say so', async () => {
    const { plan, notes, targets } = await made({
      'n1/Rim-Ha.fits': {},
      'n2/Rim-H.fits': {},
      'n2/Rim-O3.fits': {},
    });
    expect(plan.targets).toEqual([
      { name: 'Rim', masters: { H: ['n1/Rim-Ha.fits', 'n2/Rim-H.fits'], O: 'n2/Rim-O3.fits' } },
    ]);
    expect(targets).toEqual(plan.targets.map((target: any) => ({ ...target, by: ['file name'] })));
    expect(notes).toEqual([expect.stringMatching(/^Rim: 2 files of H have one size and will be combined: /)]);
  });

  it('come from six folders deep, not from hidden ones, temporary files or files of other kinds', () =>
    inFolder(async (folder) => {
      await write(join(folder, '1/2/3/4/5/6/Rim-H.fits'));
      await write(join(folder, '1/2/3/4/5/6/7/Far-H.fits'));
      await write(join(folder, '.old/Old-H.fits'));
      await write(join(folder, 'Text-H.txt'));
      await write(join(folder, 'Fits-H.fitsx'));
      await write(temporaryFor(join(folder, 'New-H.fits')));
      const { targets, notes } = await initPlan({ folder });
      expect(targets.map(({ name }) => name)).toEqual(['Rim']);
      expect(notes).toEqual([]);
    }));
});

describe('masters that belong together', () => {
  it('are found by any spelling of their target, and what was grouped is said with its reason', async () => {
    const { plan, notes, targets } = await made({
      'a-Ha.fits': { OBJECT: 'Cinder Wing', FILTER: 'Ha 3nm' },
      'b-Ha.fits': { OBJECT: 'cinder-wing', FILTER: 'H-alpha 7nm' },
      'CinderWing_OIII.fits': {},
      'Cinder Wing/SII.fits': { OBJECT: 'Cinder Wing' },
      // Other numbers are other targets.
      'c-Ha.fits': { OBJECT: 'Cinder Wing 2' },
    });
    expect(plan.targets).toEqual([
      {
        name: 'Cinder Wing',
        masters: { S: 'Cinder Wing/SII.fits', O: 'CinderWing_OIII.fits', H: ['a-Ha.fits', 'b-Ha.fits'] },
      },
      { name: 'Cinder Wing 2', masters: { H: 'c-Ha.fits' } },
    ]);
    expect(notes).toEqual([
      'Cinder Wing: one target, spelt Cinder Wing, CinderWing, cinder-wing',
      'Cinder Wing: 2 files of H have one size and will be combined: a-Ha.fits (Ha 3nm), b-Ha.fits (H-alpha 7nm)',
    ]);
    expect(targets.map(({ by }) => by)).toEqual([['header', 'file name'], ['header']]);
  });

  it('are no frames that calibrate others, and many of one line may be subs', async () => {
    const kind = (IMAGETYP: string) => ({ OBJECT: 'Rim', FILTER: 'Ha', IMAGETYP });
    const subs = Object.fromEntries(Array.from({ length: 7 }, (_, i) => [`Rim-Ha-${i}.fits`, kind('Light Frame')]));
    const { plan, notes } = await made({
      ...subs,
      'dark-Ha.fits': kind('Master Dark'),
      'flat-Ha.fits': kind('FLAT'),
      'focus-Ha.fits': kind('Focus'),
    });
    expect(plan.targets.map(({ masters }: any) => masters.H.length)).toEqual([7]);
    expect(notes).toEqual([
      'dark-Ha.fits: by its header it is no master but "Master Dark"; left out',
      'flat-Ha.fits: by its header it is no master but "FLAT"; left out',
      'focus-Ha.fits: by its header it is no master but "Focus"; left out',
      expect.stringMatching(/^Rim: 7 files of H .* and 1 more; no header says that they are stacks: remove them/),
    ]);
  });
});

describe('recipes of a new plan', () => {
  it.each([
    [
      ['S', 'H', 'O'],
      ['sho', 'hoo', 'ember'],
    ],
    [['H', 'O'], ['hoo']],
    // None fits: the plan shows what is missing.
    [['O'], ['sho']],
  ])('for the lines %j are %j', async (lines, recipes) => {
    const { plan } = await made(Object.fromEntries(lines.map((line) => [`Rim-${line}.fits`, {}])));
    expect(plan.recipes).toEqual(recipes);
  });

  it('fit a target, not the lines of all together', async () =>
    expect((await made({ 'Rim-S.fits': {}, 'Arc-H.fits': {}, 'Arc-O.fits': {} })).plan.recipes).toEqual(['hoo']));

  it('are those that were asked for', async () =>
    expect((await made({ 'Rim-S.fits': {} }, { recipes: ['gilt'] })).plan.recipes).toEqual(['gilt']));
});

describe('the file of a new plan', () => {
  it('names masters as seen from where it lies', () =>
    inFolder(async (folder) => {
      await write(join(folder, 'in/Rim-H.fits'));
      mkdirSync(join(folder, 'plans'));
      const output = join(folder, 'plans/p.json');
      expect((await initPlan({ folder: join(folder, 'in'), output })).file).toBe(output);
      expect(readJson(output)).toMatchObject({ linewash: 1, targets: [{ masters: { H: '../in/Rim-H.fits' } }] });
      expect(readFileSync(output, 'utf8').endsWith('}\n')).toBe(true);
    }));

  it('is not replaced unless told to', () =>
    inFolder(async (folder) => {
      await write(join(folder, 'Rim-H.fits'));
      const file = join(folder, 'batch.json');
      writeFileSync(file, 'mine');
      await expect(initPlan({ folder })).rejects.toThrow(/exists already/);
      expect(readFileSync(file, 'utf8')).toBe('mine');
      await initPlan({ folder, force: true });
      expect(readJson(file).targets).toHaveLength(1);
    }));

  it('is not written where there is nothing to plan, or the work is stopped', () =>
    inFolder(async (folder) => {
      await expect(initPlan({ folder })).rejects.toThrow(/no masters/);
      await expect(initPlan({ folder: join(folder, 'none') })).rejects.toThrow(/cannot be read/);
      await write(join(folder, 'Rim-H.fits'));
      const stopped = AbortSignal.abort();
      await expect(initPlan({ folder, signal: stopped })).rejects.toThrow(/cancelled/);
      await write(join(folder, 'no'));
      await expect(initPlan({ folder, output: join(folder, 'no/p.json') })).rejects.toThrow(
        /cannot be made: a file has/,
      );
    }));
});
