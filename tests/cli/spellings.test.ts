import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { run } from '../../lib/cli/program.ts';
import { splitFiles } from '../../lib/node/files/spelling.ts';
import { writeWhole } from '../../lib/node/files/write-whole.ts';
import { writeTargets } from '../node/batch/scene.ts';
import { inFolder, linewash } from './capture.ts';

/** A folder with small masters Arc-S.fits, Arc-H.fits and Arc-O.fits. */
const withMasters = (use: (at: (name: string) => string) => Promise<void>) =>
  inFolder(async (folder) => {
    await writeTargets(folder, ['Arc']);
    await use((name) => join(folder, name));
  });

const done = async (...words: string[]) => {
  const ran = await linewash(words);
  expect(ran.code, ran.err).toBe(0);
  return ran;
};

const refused = async (words: readonly string[], why: RegExp) => {
  const ran = await linewash(words);
  expect([ran.code, ran.out], ran.err).toEqual([2, '']);
  expect(ran.err).toMatch(why);
};

describe('names of lines', () => {
  it('are understood as headers spell them, wherever a line is named', () =>
    withMasters(async (at) => {
      const [S, H, O] = ['S', 'H', 'O'].map((line) => at(`Arc-${line}.fits`));
      const bytes = async (name: string, ...masters: string[]) => {
        await done('mix', 'hso', ...masters, '-o', at(name));
        return readFileSync(at(name));
      };
      const plain = await bytes('0.tif', `S=${S}`, `H=${H}`, `O=${O}`);
      const spellings = [
        ['SII', 'Ha', 'OIII'],
        ['s', 'h', 'o'],
        ['S2', 'Hα', 'O_III'],
      ];
      for (const [i, [s, h, o]] of spellings.entries())
        expect((await bytes(`${i + 1}.tif`, `${s}=${S}`, `${h}=${H}`, `${o}=${O}`)).equals(plain), `${s}`).toBe(true);
      const hours = ['hours', 'hso', `SII=${S}`, `h=${H}`, `OIII=${O}`, '--time', 'SII=4,Ha=4,o=10'];
      const { out } = await done(...hours, '--move', 'oxygen:Ha=2h', '--more', '10', '--json');
      expect(JSON.parse(out).move).toMatchObject({ hours: 2 });
      const { out: faint } = await done('faint', `OIII=${O}`, '--time', 'O=7', '--json');
      expect(JSON.parse(faint).hours).toBe(7);
    }));

  it('stand for one line once', () =>
    withMasters(async (at) => {
      const [H, O] = [at('Arc-H.fits'), at('Arc-O.fits')];
      const rest = [`O=${O}`, '-o', at('x.tif')];
      await refused(
        ['mix', 'hoo', `H=${H}`, `Ha=${O}`, ...rest],
        /H and Ha are both the line H\n.*to combine both: H=A,B/s,
      );
      await refused(['mix', 'hoo', `Ha=${O}`, H, ...rest], /Arc-H\.fits is H by its .*, and Ha=.* is given/);
    }));
});

describe('a pattern in quotes', () => {
  it('stands for the files that it matches, as in a shell', () =>
    withMasters(async (at) => {
      mkdirSync(at('night 2'));
      copyFileSync(at('Arc-O.fits'), at('night 2/Arc-O.fits'));
      await done('mix', 'hoo', at('Arc-[HO].fits'), '-o', at('a.tif'));
      await done('mix', 'hoo', at('{Arc-H,Arc-O}.fits[0]'), '-o', at('b.tif'));
      await done('mix', 'hoo', `H=${at('*-H.fits')}`, `O=${at('n* ?/**/Arc-*.fits')}`, '-o', at('c.tif'));
      const names = (file: string) =>
        [...readFileSync(at(file), 'latin1').matchAll(/"file":"([^"]+)"/g)].map(([, name]) => name);
      expect(names('a.tif')).toEqual(['Arc-H.fits', 'Arc-O.fits']);
      expect(names('b.tif')).toEqual(['Arc-H.fits[0]', 'Arc-O.fits[0]']);
      expect(names('c.tif')).toEqual(['Arc-H.fits', 'Arc-O.fits']);
      const several = await splitFiles(`${at('Arc-[SO].fits')},${at('n*/*')}`);
      expect(several.map(({ path }) => path)).toEqual(['Arc-O.fits', 'Arc-S.fits', 'night 2/Arc-O.fits'].map(at));
      await refused(['mix', 'hoo', at('Brc-*.fits'), '-o', at('d.tif')], /Brc-\*\.fits: no file matches this pattern/);
    }));

  it('is a name where a file is called so', () =>
    withMasters(async (at) => {
      copyFileSync(at('Arc-H.fits'), at('[Arc]*H.fits'));
      await done('mix', 'hoo', `H=${at('[Arc]*H.fits')}`, `O=${at('Arc-O.fits')}`, '-o', at('a.tif'));
      expect(readFileSync(at('a.tif'), 'latin1')).toContain('"file":"[Arc]*H.fits"');
    }));
});

describe('-o', () => {
  /** What a command sends to standard output that is a pipe. */
  const piped = async (...words: string[]) => {
    const chunks: Uint8Array[] = [];
    let said = '';
    const streams = {
      out: (text: string) => {
        said += text;
      },
      err: () => {},
      interactive: false,
      colour: false,
      async pipe(bytes: AsyncIterable<Uint8Array>) {
        for await (const chunk of bytes) chunks.push(chunk);
      },
    };
    const code = await run(words, streams, new AbortController().signal);
    expect([code, said]).toEqual([0, '']);
    return Buffer.concat(chunks);
  };

  it('- sends the bytes of the file to a pipe, and nothing else', () =>
    withMasters(async (at) => {
      const words = ['mix', 'hoo', `H=${at('Arc-H.fits')}`, `O=${at('Arc-O.fits')}`];
      await done(...words, '-o', at('a.png'));
      await done(...words, '-o', at('a.tif'));
      expect((await piped(...words, '-o', '-')).equals(readFileSync(at('a.png')))).toBe(true);
      expect((await piped(...words, '-o', '-', '--format', 'tif')).equals(readFileSync(at('a.tif')))).toBe(true);
      const sheet = await piped('sheet', 'hoo', ...words.slice(2), '--size', '32', '-o', '-');
      expect(sheet.subarray(1, 4).toString()).toBe('PNG');
      await refused([...words, '-o', '-'], /standard output is a terminal/);
      await refused([...words, '-o', '-', '--json'], /both write to standard output/);
      await refused([...words, '-o', at('b.tif'), '--format', 'png'], /--format belongs to -o -/);
    }));

  it('makes folders, and leaves none where nothing came of it', () =>
    withMasters(async (at) => {
      const masters = [`H=${at('Arc-H.fits')}`, `O=${at('Arc-O.fits')}`];
      await done('mix', 'hoo', ...masters, '-o', at('new/er/a.tif'));
      await done('sheet', 'hoo', ...masters, '--size', '32', '-o', at('new/s/a.png'));
      expect(existsSync(at('new/er/a.tif')) && existsSync(at('new/s/a.png'))).toBe(true);
      const failing = writeWhole(at('no/where/x.tif'), false, () => Promise.reject(new Error('full')));
      await expect(failing).rejects.toThrow('full');
      expect(existsSync(at('no'))).toBe(false);
      // What was there, or came meanwhile, stays.
      mkdirSync(at('yes'));
      await expect(
        writeWhole(at('yes/deep/x.tif'), false, async () => {
          writeFileSync(at('yes/deep/other'), '');
          throw new Error('full');
        }),
      ).rejects.toThrow('full');
      expect(existsSync(at('yes/deep/other'))).toBe(true);
    }));
});
