import { spawnSync } from 'node:child_process';
import { existsSync, linkSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { temporaryFor } from '../../lib/node/files/temporary.ts';
import { asWords, inFolder, linewash, SMALL } from './capture.ts';

const words = asWords(SMALL);

/** Runs a mix that must fail: one message, the right exit code, nothing left in the folder. */
const fails = async (build: (folder: string) => string[], code: number, message: RegExp) =>
  inFolder(async (folder) => {
    const before = readdirSync(folder);
    const line = build(folder);
    const given = readdirSync(folder);
    const ran = await linewash(line);
    expect(ran.err).toMatch(message);
    expect(ran.code).toBe(code);
    expect(ran.out).toBe('');
    expect(readdirSync(folder)).toEqual(given);
    expect(before).toEqual([]);
  });

describe('linewash mix', () => {
  it('writes the picture and prints its name', () =>
    inFolder(async (folder) => {
      const output = join(folder, 'sho.tif');
      const ran = await linewash(['mix', 'sho', ...words, '-o', output]);
      expect(ran).toMatchObject({ code: 0, out: `${output}\n` });
      expect(readdirSync(folder)).toEqual(['sho.tif']);
    }));

  it('needs only the lines that the recipe uses', () =>
    inFolder(async (folder) => {
      const { H, O } = SMALL;
      const ran = await linewash(['mix', 'hoo', ...asWords({ H, O }), '-o', join(folder, 'hoo.png'), '--json']);
      expect(ran.code).toBe(0);
      const result = JSON.parse(ran.out);
      expect(result.settled.channels.map((c: { name: string }) => c.name)).toEqual(['H', 'O']);
      expect(result).toMatchObject({ width: 480, height: 320, warnings: [] });
    }));

  it('writes a JPEG of a size to show around', () =>
    inFolder(async (folder) => {
      const output = join(folder, 'sho.jpg');
      const ran = await linewash(['mix', 'sho', ...words, '-o', output, '--size', '120', '--json']);
      expect(JSON.parse(ran.out)).toMatchObject({ width: 120, height: 80 });
      const { format, width, height } = await sharp(output).metadata();
      expect([format, width, height]).toEqual(['jpeg', 120, 80]);
      // The same pixels as those that are not compressed, but for what compressing takes.
      await linewash(['mix', 'sho', ...words, '-o', join(folder, 'sho.png'), '--size', '120', '--bits', '8']);
      const [jpeg, png] = await Promise.all(
        ['sho.jpg', 'sho.png'].map((name) => sharp(join(folder, name)).raw().toBuffer()),
      );
      expect(jpeg!.reduce((sum, value, i) => sum + Math.abs(value - png![i]!), 0) / png!.length).toBeLessThan(4);
    }));

  it('understands every spelling of a line, and says what an unknown one may mean', () =>
    inFolder(async (folder) => {
      const { S, H, O } = SMALL;
      for (const [i, given] of [
        [`Ha=${H}`, `OIII=${O}`, `s=${S}`],
        [`H-alpha=${H}`, `o3=${O}`, `SII=${S}`],
        [`Hα=${H}`, `O III=${O}`, `672nm=${S}`],
      ].entries()) {
        const ran = await linewash(['mix', 'sho', ...given, '-o', join(folder, `${i}.tif`), '--json']);
        expect([ran.code, ran.err]).toEqual([0, '']);
        expect(JSON.parse(ran.out).settled.channels.map((c: { name: string }) => c.name)).toEqual(['S', 'H', 'O']);
      }
      const missing = await linewash(['mix', 'sho', `Hq=${H}`, `O=${O}`, `S=${S}`, '-o', join(folder, 'no.tif')]);
      expect([missing.code, missing.err]).toEqual([
        2,
        expect.stringMatching(/no master for H.*\n.*did you mean H by Hq\?/),
      ]);
    }));

  it('sees a link that leads nowhere, and replaces it only where asked to', () =>
    inFolder(async (folder) => {
      const link = join(folder, 'a.tif');
      symlinkSync(join(folder, 'nowhere.tif'), link);
      const line = ['mix', 'hoo', `H=${SMALL.H}`, `O=${SMALL.O}`, '-o', link];
      const refused = await linewash(line);
      expect([refused.code, refused.err]).toEqual([
        1,
        expect.stringMatching(/is a link to a file that does not exist\n.*--force/),
      ]);
      expect(readdirSync(folder)).toEqual(['a.tif']);
      expect((await linewash([...line, '--force'])).code).toBe(0);
      expect(existsSync(join(folder, 'nowhere.tif'))).toBe(false);
    }));

  it('removes what a killed run left in the folder, and nothing else', () =>
    inFolder(async (folder) => {
      const ended = spawnSync('true').pid;
      const partOf = (pid: number) =>
        temporaryFor(join(folder, 'old.tif')).replace(/-\d+-([0-9a-f]{12})\.linewash/, `-${pid}-$1.linewash`);
      const [dead, alive] = [partOf(ended), partOf(process.pid)];
      for (const path of [dead, alive]) writeFileSync(path, 'half');
      const { H, O } = SMALL;
      expect((await linewash(['mix', 'hoo', `H=${H}`, `O=${O}`, '-o', join(folder, 'a.tif')])).code).toBe(0);
      expect([existsSync(dead), existsSync(alive)]).toEqual([false, true]);
    }));

  it('writes the same bytes every time', () =>
    inFolder(async (folder) => {
      const [a, b] = [join(folder, 'a.tif'), join(folder, 'b.tif')];
      for (const output of [a, b]) await linewash(['mix', 'ember', ...words, '-o', output]);
      expect(readFileSync(a).equals(readFileSync(b))).toBe(true);
    }));

  it('does not replace a picture unless told to', () =>
    inFolder(async (folder) => {
      const output = join(folder, 'old.tif');
      writeFileSync(output, 'old');
      const refused = await linewash(['mix', 'sho', ...words, '-o', output]);
      expect(refused).toMatchObject({ code: 1, out: '' });
      expect(refused.err).toMatch(/exists already.*\n.*--force/);
      expect(readFileSync(output, 'utf8')).toBe('old');
      expect((await linewash(['mix', 'sho', ...words, '-o', output, '--force'])).code).toBe(0);
      expect(readFileSync(output).length).toBeGreaterThan(900_000);
    }));

  it('never replaces a master, not even through a link', () =>
    inFolder(async (folder) => {
      const copy = join(folder, 'H.fits');
      writeFileSync(copy, readFileSync(SMALL.H));
      const other = join(folder, 'other.fits');
      linkSync(copy, other);
      const ran = await linewash(['mix', 'hoo', `H=${copy}`, `O=${SMALL.O}`, '-o', other, '--force']);
      expect(ran.code).toBe(1);
      expect(ran.err).toMatch(/never overwritten/);
      expect(readFileSync(copy).equals(readFileSync(SMALL.H))).toBe(true);
    }));

  it('names a missing line', () =>
    fails((f) => ['mix', 'sho', `H=${SMALL.H}`, '-o', `${f}/x.tif`], 2, /no master for S, O.*\n.*S=FILE O=FILE/));
  it('names a file that is not there', () =>
    fails(
      (f) => ['mix', 'hoo', `H=${f}/no.fits`, `O=${SMALL.O}`, '-o', `${f}/x.tif`],
      2,
      /no\.fits: cannot be opened: there is no such file/,
    ));
  it('suggests the recipe that was meant', () =>
    fails((f) => ['mix', 'embr', ...words, '-o', `${f}/x.tif`], 2, /embr: there is no recipe.*\n.*did you mean ember/));
  it('refuses one file for two lines', () =>
    fails((f) => ['mix', 'hoo', `H=${SMALL.H}`, `O=${SMALL.H}`, '-o', `${f}/x.tif`], 2, /given for both H and O/));
  it('refuses an ending it cannot write', () =>
    fails((f) => ['mix', 'sho', ...words, '-o', `${f}/x.gif`], 1, /\.tif, \.png, \.jpg, \.fits/));
  it('refuses bits that a format cannot hold', () =>
    fails((f) => ['mix', 'sho', ...words, '-o', `${f}/x.png`, '--bits', '32'], 1, /PNG is written with 16 or 8 bits/));
  it('names a folder that cannot be made', () =>
    fails(() => ['mix', 'sho', ...words, '-o', '/dev/null/no/x.tif'], 1, /cannot be made: a part of the path/));
  it('refuses a word that is not LINE=FILE', () =>
    fails((f) => ['mix', 'sho', '9=S.fits', '-o', `${f}/x.tif`], 2, /"9=S\.fits" is not LINE=FILE/));
  it('refuses a line given twice', () =>
    fails((f) => ['mix', 'sho', ...words, words[0]!, '-o', `${f}/x.tif`], 2, /line S is given twice/));
  it('suggests the option that was meant', () =>
    fails((f) => ['mix', 'sho', ...words, '-o', `${f}/x.tif`, '--forse'], 2, /Did you mean --force/));
  it('stops when asked', () =>
    inFolder(async (folder) => {
      const stop = new AbortController();
      stop.abort();
      const ran = await linewash(['mix', 'sho', ...words, '-o', join(folder, 'x.tif')], stop.signal);
      expect(ran.code).toBe(130);
      expect(readdirSync(folder)).toEqual([]);
    }));

  it('points to the place of a fault in a recipe', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'bad.json');
      writeFileSync(
        file,
        '{\n  "matrix": [[1, 0, 0], [0, 1, 0], [0, 0, 1]],\n  "balence": "rows",\n  "gamut": "chrom"\n}',
      );
      const ran = await linewash(['mix', file, ...words, '-o', join(folder, 'x.tif')]);
      expect(ran.code).toBe(2);
      expect(ran.err).toMatch(/bad\.json: 2 faults/);
      expect(ran.err).toMatch(/\$\.balence: unknown key \(did you mean balance\?\)/);
      expect(ran.err).toMatch(/line 4, column 12, \$\.gamut: found "chrom".*did you mean chroma/);
    }));
});

describe.skipIf(!existsSync('../shared/faults'))('masters that do not fit', () => {
  it('names both sizes', () =>
    fails(
      (f) => [
        'mix',
        'hoo',
        'H=../shared/faults/f38_63x48.fits',
        'O=../shared/faults/f01_u16_bzero.fits',
        '-o',
        `${f}/x.tif`,
      ],
      2,
      /64 × 48 pixels.*63 × 48/,
    ));
  it('says what a file really is', () =>
    fails(
      (f) => [
        'mix',
        'hoo',
        'H=../shared/faults/f08c_html_error_page.fits',
        'O=../shared/faults/f01_u16_bzero.fits',
        '-o',
        `${f}/x.tif`,
      ],
      2,
      /f08c_html_error_page\.fits: this is a web page/,
    ));
});
