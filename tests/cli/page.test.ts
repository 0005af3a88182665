import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, linewash } from './capture.ts';

/** Runs the command until it says its address, asks it something, and ends it as Ctrl-C does. */
const served = async (words: readonly string[], ask: (address: string) => Promise<void>) => {
  const stop = new AbortController();
  const { run } = await import('../../lib/cli/program.ts');
  let err = '';
  let asked: Promise<void> | undefined;
  const streams = {
    out: (text: string) => {
      asked = ask(text.trim()).finally(() => stop.abort());
    },
    err: (text: string) => {
      err += text;
    },
    interactive: false,
    colour: false,
  };
  const code = await run(['page', '--no-open', ...words], streams, stop.signal);
  await asked;
  return { code, err };
};

describe('linewash page', () => {
  it('serves the built page with the named masters until it is ended', () =>
    inFolder(async (folder) => {
      const names = ['a, b.fits', 'c.fits', 'd.fits'];
      for (const name of names) writeFileSync(join(folder, name), name);
      const words = [`H=${join(folder, 'a, b.fits')},${join(folder, 'c.fits')}#2`, join(folder, 'd.fits')];
      const { code, err } = await served(words, async (address) => {
        const home = address.replace(/#.*/, '');
        expect(await (await fetch(home)).text()).toContain('<lw-app>');
        const list = await (await fetch(`${home}masters.json`)).json();
        expect(list).toEqual([
          { name: 'a, b.fits', line: 'H', at: 'masters/0' },
          { name: 'c.fits#2', line: 'H', at: 'masters/1' },
          { name: 'd.fits', at: 'masters/2' },
        ]);
        for (const { at } of list) expect(names).toContain(await (await fetch(home + at)).text());
      });
      expect([code, err]).toEqual([0, 'Ctrl-C ends it.\n']);
    }));

  it('says which master cannot be read, and serves nothing', async () => {
    const { code, out, err } = await linewash(['page', '--no-open', 'H=gone.fits']);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(/gone\.fits: cannot be opened: .*\n/);
  });
});
