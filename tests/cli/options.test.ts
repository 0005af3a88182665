import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { recipeHash } from '../../lib/recipe/written/hash.ts';
import { plan, readJson, writeTargets } from '../node/batch/scene.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

/** Runs with a folder of small masters; `words` names them. */
const withMasters = (use: (folder: string, words: string[]) => Promise<void>) =>
  inFolder(async (folder) => {
    await writeTargets(folder, ['Arc']);
    await use(
      folder,
      ['S', 'H', 'O'].map((line) => `${line}=${join(folder, `Arc-${line}.fits`)}`),
    );
  });

const done = async (...words: string[]) => {
  const ran = await linewash(words);
  expect(ran.code, ran.err).toBe(0);
  return ran;
};

describe('what was measured', () => {
  afterEach(() => vi.unstubAllEnvs());

  // What a process knows it does not ask for again: each run has masters of its own.
  it.each([
    ['mix', [], true],
    ['mix', ['--no-cache'], false],
    ['batch', [], true],
    ['batch', ['--no-cache'], false],
  ] as const)('by %s %j is kept in the folder that LINEWASH_CACHE names: %s', (verb, more, kept) =>
    withMasters(async (folder, masters) => {
      const [cache, file] = [join(folder, 'cache'), join(folder, 'plan.json')];
      const targets = [{ folder: '.', pattern: '{target}-{line}.fits' }];
      writeFileSync(file, JSON.stringify(plan({ targets, recipes: ['sho'] })));
      vi.stubEnv('LINEWASH_CACHE', cache);
      await done(
        ...(verb === 'mix' ? ['mix', 'sho', ...masters, '-o', join(folder, 'x.tif')] : ['batch', file]),
        ...more,
      );
      expect(existsSync(cache)).toBe(kept);
    }),
  );
});

describe('mix', () => {
  it('writes the same bytes by any number of threads', () =>
    withMasters(async (folder, masters) => {
      const mixed = async (name: string, ...more: string[]) => {
        await done('mix', 'ember', ...masters, '-o', join(folder, name), ...more);
        return readFileSync(join(folder, name));
      };
      const one = await mixed('1.tif', '--threads', '1');
      expect((await mixed('3.tif', '--threads', '3')).equals(one)).toBe(true);
      expect((await mixed('usual.tif')).equals(one)).toBe(true);
    }));

  it.each([
    ['8', 8, 'uchar'],
    ['16', 16, 'ushort'],
    ['32', 32, 'float'],
  ])('writes %s bits where they are asked for', (bits, _, depth) =>
    withMasters(async (folder, masters) => {
      const output = join(folder, 'x.tif');
      await done('mix', 'hoo', ...masters.slice(1), '-o', output, '--bits', bits);
      expect((await sharp(output).metadata()).depth).toBe(depth);
    }),
  );
});

describe('sheet', () => {
  it('has as many pictures per row as are asked for', () =>
    withMasters(async (folder, masters) => {
      const size = async (columns: string) => {
        const words = ['sheet', 'sho', 'ember', 'gilt', ...masters, '-o', join(folder, `${columns}.png`), '--json'];
        return JSON.parse((await done(...words, '--size', '60', '--columns', columns)).out);
      };
      const [one, two, three] = [await size('1'), await size('2'), await size('3')];
      // Pictures of 60 × 40: a column more is wider by a picture and a gap, a row less lower by a picture and its caption.
      expect(two.width - one.width).toBe(three.width - two.width);
      expect(two.width - one.width).toBeGreaterThan(60);
      expect(one.height - two.height).toBe(two.height - three.height);
      expect(one.height - two.height).toBeGreaterThan(40);
    }));

  it('shows the recipes of files, captioned by name, and crops with --crop', () =>
    withMasters(async (folder, masters) => {
      const file = join(folder, 'own.json');
      writeFileSync(file, '{"matrix": [[1,0,0],[0,1,0],[0,0,1]]}');
      const drawn = async (...more: string[]) =>
        JSON.parse(
          (await done('sheet', file, ...masters, '-o', join(folder, 's.png'), '--force', '--json', ...more)).out,
        );
      const [whole, cropped] = [await drawn(), await drawn('--crop')];
      // O lacks data at its border.
      expect(cropped.width * cropped.height).toBeLessThan(whole.width * whole.height);
    }));

  it('is not replaced unless told to, and nothing is written', () =>
    withMasters(async (folder, masters) => {
      const output = join(folder, 's.png');
      writeFileSync(output, 'mine');
      const ran = await linewash(['sheet', 'sho', ...masters, '-o', output]);
      expect([ran.code, ran.out]).toEqual([1, '']);
      expect(readFileSync(output, 'utf8')).toBe('mine');
    }));
});

describe('pictures beside other results', () => {
  it('of a background surface are not replaced unless told to', async () =>
    inFolder(async (folder) => {
      const picture = join(folder, 'sky.png');
      writeFileSync(picture, 'mine');
      const words = ['measure', `H=${SMALL.H}`, '--background', '1', '--picture', picture];
      expect((await linewash(words)).code).toBe(1);
      expect(readFileSync(picture, 'utf8')).toBe('mine');
      await done(...words, '--force');
      expect((await sharp(picture).metadata()).format).toBe('png');
    }));

  it('of suggestions are refused before anything is computed or written', () =>
    withMasters(async (folder, masters) => {
      const sheet = join(folder, 's.png');
      writeFileSync(sheet, 'mine');
      const ran = await linewash(['suggest', ...masters, '-o', join(folder, 'new'), '--sheet', sheet]);
      expect([ran.code, ran.out]).toEqual([1, '']);
      expect(readFileSync(sheet, 'utf8')).toBe('mine');
      expect(existsSync(join(folder, 'new'))).toBe(false);
      await done('suggest', ...masters, '--sheet', sheet, '--force');
      expect((await sharp(sheet).metadata()).format).toBe('png');
    }));
});

describe('batch', () => {
  it('makes the same with --parallel and --memory', () =>
    withMasters(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc', 'Rim']);
      const file = join(folder, 'plan.json');
      writeFileSync(file, JSON.stringify(plan({ recipes: ['hoo'] })));
      const made = async (...more: string[]) => {
        expect((await done('batch', file, '--force', '--quiet', ...more)).out).toMatch(/^2 made/);
        return readdirSync(join(folder, 'out')).map((name) => readFileSync(join(folder, 'out', name)).toString('hex'));
      };
      const usual = await made();
      expect(await made('--parallel', '2', '--memory', '1.5g')).toEqual(usual);
      expect(await made('--parallel', '1', '--memory', '800M')).toEqual(usual);
    }));

  it('prints jobs that start linewash as it was started, and that make anew where told to', () =>
    withMasters(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc']);
      const file = join(folder, 'plan.json');
      writeFileSync(file, JSON.stringify(plan({ recipes: ['hoo'] })));
      const { out } = await done('batch', file, '--jobs');
      expect(out.startsWith(process.execPath)).toBe(true);
      expect(out).toMatch(/ --quiet\n$/);
      expect((await done('batch', file, '--jobs', '--force')).out).toMatch(/ --quiet --force\n$/);
    }));

  it('init takes recipes with commas between, and writes batch.json into the folder', () =>
    withMasters(async (folder) => {
      const { out } = await done('batch', 'init', folder, '--recipes', 'gilt,hoo');
      expect(out.endsWith(`${join(folder, 'batch.json')}\n`)).toBe(true);
      expect(readJson(join(folder, 'batch.json')).recipes).toEqual(['gilt', 'hoo']);
    }));
});

describe('recipe', () => {
  it('settle --recipe prints a recipe that gives the same numbers again, and mixes the same picture', () =>
    withMasters(async (folder, masters) => {
      const file = join(folder, 'fixed.json');
      writeFileSync(file, (await done('recipe', 'settle', 'ember', '--recipe', ...masters)).out);
      const settled = async (recipe: string) => JSON.parse((await done('recipe', 'settle', recipe, ...masters)).out);
      const [once, again] = [await settled('ember'), await settled(file)];
      // Numbers that are stated have no limits.
      const stated = once.channels.map(({ limits: _, ...channel }: { limits?: object }) => channel);
      expect(again.channels).toEqual(stated);
      expect(again.matrix).toEqual(once.matrix);
    }));

  it('settle takes knobs', () =>
    withMasters(async (_, masters) => {
      const { out } = await done('recipe', 'settle', 'kiln', '--knob', 'share=0.625', ...masters);
      expect(JSON.parse(out).matrix.flat()).toContain(0.625);
    }));

  it('link and hash print JSON for machines, and text for people', async () => {
    const ember = JSON.parse((await done('recipe', 'from', 'ember')).out);
    const hash = await recipeHash(ember);
    const hashes = await done('recipe', 'hash', 'ember', 'hoo', '--json');
    expect(JSON.parse(hashes.out)).toEqual([
      { recipe: 'ember', hash },
      { recipe: 'hoo', hash: expect.not.stringMatching(hash) },
    ]);
    expect((await done('recipe', 'hash', 'ember', 'hoo')).out.split('\n')[0]).toBe(`${hash}  ember`);
    const link = (await done('recipe', 'link', 'ember')).out;
    expect(JSON.parse((await done('recipe', 'link', 'ember', '--json')).out)).toEqual({ link: link.trimEnd() });
    expect(JSON.parse((await done('recipe', 'from', link.trimEnd())).out)).toEqual(ember);
  });
});

describe('samples', () => {
  it('are not replaced unless told to', () =>
    inFolder(async (folder) => {
      const first = (await done('samples', folder)).out.trimEnd().split('\n');
      expect(first.sort()).toEqual(
        readdirSync(folder)
          .sort()
          .map((name) => join(folder, name)),
      );
      writeFileSync(first[0]!, 'mine');
      const ran = await linewash(['samples', folder]);
      expect([ran.code, ran.err]).toEqual([1, expect.stringMatching(/--force/)]);
      expect(readFileSync(first[0]!, 'utf8')).toBe('mine');
      await done('samples', folder, '--force');
      expect(readFileSync(first[0]!).length).toBeGreaterThan(1000);
    }));

  it('need a folder that can be made', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'file');
      writeFileSync(file, '');
      const ran = await linewash(['samples', join(file, 'below')]);
      expect([ran.code, ran.out]).toEqual([1, '']);
      expect(ran.err).toMatch(/below: cannot be made/);
    }));
});

describe('masters that are the same as before', () => {
  it('serve `hours` by what its options say', async () => {
    const json = async (...more: string[]) =>
      JSON.parse((await done('hours', 'ember', ...asWords(SMALL), ...more, '--json')).out);
    const box = ['--box', '40,260,16,16', '--goal', 'snr', '--snr', '4'];
    const [plain, blue, mean] = [
      await json(...box),
      await json(...box, '--in', 'blue'),
      await json(...box, '--per', 'box', '--background', '8,8,24,24'),
    ];
    expect([plain, blue].map(({ advice }) => advice.quantity)).toEqual(['luminance', 'blue']);
    const wanted = ({ ledger, advice }: any) =>
      ledger.box.signal[advice.quantity] / advice.future.noise[advice.quantity];
    for (const found of [plain, blue]) expect(wanted(found)).toBeGreaterThanOrEqual(4);
    // The mean of 256 pixels is there already; the background is that of the box of sky.
    expect(mean.ledger.box.snrOfMean.luminance).toBeGreaterThan(4);
    expect(mean.advice.allocation.clock).toBe(0);
    expect(mean.ledger.background.values).not.toEqual(plain.ledger.background.values);
    for (const [i, { background }] of mean.lines.entries())
      expect(mean.ledger.background.values[i]).toBe(background.value);
    // The sky as rates, or from levels: (1538 − 600) · 0.25 / 400 electrons a second.
    const camera = ['--read-noise', '1.6', '--gain', '0.25', '--more', '4h', '--sub', '100s'];
    const rates = ['S=0.2475,H=0.58625,O=0.4125'];
    const [levels, given] = [await json(...camera, '--pedestal', '600'), await json(...camera, '--sky', ...rates)];
    expect(given.advice.allocation.after).toBeCloseTo(levels.advice.allocation.after, 12);
  });
});
