import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { masterFile, sceneTruth } from '../../samples/scene/index.ts';
import { data, image, join as joined } from '../formats/fits/build.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const { S, H, O } = SMALL;
/** O of another night. */
const later = async (path: string): Promise<string> => {
  writeFileSync(path, await masterFile(sceneTruth({ width: 480, height: 320 }).O, 2));
  return path;
};

/** 40 × 40 pixels of numbers, and no word on the filter. */
const silent = (path: string): string => {
  const pixels = data(Array.from({ length: 1600 }, (_, i) => 10 + ((i * 7) % 90)));
  writeFileSync(path, joined(image(8, [40, 40]), pixels));
  return path;
};

describe('masters without their line', () => {
  it('get it from their header, and make the same picture', () =>
    inFolder(async (folder) => {
      const [named, alone] = [join(folder, 'named.png'), join(folder, 'alone.png')];
      await linewash(['mix', 'ember', ...asWords(SMALL), '-o', named]);
      const ran = await linewash(['mix', 'ember', O, S, H, '-o', alone]);
      expect(ran).toMatchObject({ code: 0, out: `${alone}\n` });
      expect(ran.err).toContain(`S = ${S}, by its header: FILTER = S II\n`);
      expect(ran.err).toContain(`O = ${O}, by its header: FILTER = O III\n`);
      expect(readFileSync(alone).equals(readFileSync(named))).toBe(true);
    }));

  it('get it from their name where the header is silent', () =>
    inFolder(async (folder) => {
      const file = silent(join(folder, 'night_Ha.fits'));
      const ran = await linewash(['measure', file, '--json']);
      expect(ran.code).toBe(0);
      expect(ran.err.split('\n')[0]).toBe(`H = ${file}, by its name`);
    }));

  it('are combined where two are of one line', () =>
    inFolder(async (folder) => {
      const json = async (words: string[]) =>
        JSON.parse((await linewash(['mix', 'hoo', ...words, '-o', join(folder, 'x.png'), '--json', '--force'])).out);
      const other = await later(join(folder, 'later.fits'));
      const [alone, named] = [await json([H, O, other]), await json([`H=${H}`, `O=${O},${other}`])];
      expect(alone.settled).toEqual(named.settled);
    }));

  it.each([
    ['a line that is also named', [`H=${S}`, H], /H.fits is H by its header.*, and H=.*S.fits is given/],
    ['a file that is not there', ['no-such-Ha.fits'], /no-such-Ha.fits: .*no such file/],
    ['a file that is no master', ['package.json'], /package.json: /],
  ])('are refused with %s', async (_, words, message) => {
    const ran = await linewash(['measure', ...words]);
    expect(ran.err).toMatch(message);
    expect(ran).toMatchObject({ out: '' });
    expect(ran.code).not.toBe(0);
  });

  it('are refused where neither header nor name says it', () =>
    inFolder(async (folder) => {
      const file = silent(join(folder, 'master.fits'));
      const ran = await linewash(['measure', file]);
      expect(ran.code).toBe(2);
      expect(ran.err).toMatch(/neither the header nor the name of .*master.fits gives its line\n.*H=.*master.fits/);
    }));

  it('stand among recipes on a sheet', () =>
    inFolder(async (folder) => {
      const [mingled, plain] = [join(folder, 'mingled.png'), join(folder, 'plain.png')];
      expect((await linewash(['sheet', 'hoo', H, 'ember', S, O, '-o', mingled, '--size', '60'])).code).toBe(0);
      await linewash(['sheet', 'hoo', 'ember', ...asWords(SMALL), '-o', plain, '--size', '60']);
      expect(readFileSync(mingled).equals(readFileSync(plain))).toBe(true);
    }));
});

describe('a recipe written where its name would stand', () => {
  it('is the same as in a file', () =>
    inFolder(async (folder) => {
      const recipe = '{ "channels": ["H", "O"], "matrix": [[1, 0], [0.2, 0.8], [0, 1]] }';
      const output = join(folder, 'x.png');
      const ran = await linewash(['mix', recipe, `H=${H}`, `O=${O}`, '-o', output, '--json']);
      expect(JSON.parse(ran.out).settled.matrix).toEqual([
        [1, 0],
        [0.2, 0.8],
        [0, 1],
      ]);
    }));

  it('is refused with line and column where it is at fault', async () => {
    const ran = await linewash(['recipe', 'check', '{ "matrix": [[1, 0, 0], [0, 1], [0, 0, 1]] }']);
    expect(ran.code).not.toBe(0);
    expect(`${ran.out}${ran.err}`).toMatch(/line 1, column 25, \$\.matrix\[1\]/);
  });
});
