import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { SAMPLE_TARGETS, type SampleScene } from '../../lib/cli/sample-scene.ts';
import * as scene from '../../samples/scene/index.ts';
import { inFolder, linewash } from './capture.ts';

/** What the command asks of the generator is what the generator offers. */
const offered: SampleScene = scene;

it('knows all targets', () => {
  expect(SAMPLE_TARGETS).toEqual(scene.TARGET_NAMES);
  expect(offered.sampleFiles).toBeTypeOf('function');
});

it.each([
  ['emberwing', ['emberwing-H.fits', 'emberwing-O.fits', 'emberwing-S.fits']],
  ['brightfen', ['brightfen-H.fits', 'brightfen-O.fits', 'brightfen-S.fits']],
  ['palehoop', ['palehoop-H.fits', 'palehoop-O-last-year.fits', 'palehoop-O.fits', 'palehoop-S.fits']],
])('computes %s of any size, again only what is not there, and replaces nothing', (target, names) =>
  inFolder(async (folder) => {
    const words = ['samples', folder, '--target', target, '--size', '150'];
    const first = await linewash(words);
    expect([first.code, first.err]).toEqual([0, '']);
    expect(first.out.trimEnd().split('\n').sort()).toEqual(names.map((name) => join(folder, name)));
    expect(readdirSync(folder).sort()).toEqual(names);
    const [kept, gone] = names.map((name) => join(folder, name)) as [string, string];
    const [bytes, before] = [readFileSync(gone), statSync(kept).mtimeMs];
    rmSync(gone);
    expect(await linewash(words)).toEqual(first);
    expect(readFileSync(gone).equals(bytes)).toBe(true);
    expect(statSync(kept).mtimeMs).toBe(before);
    writeFileSync(kept, 'mine');
    const refused = await linewash(words);
    expect([refused.code, refused.err]).toEqual([1, expect.stringMatching(/exists already/)]);
    expect(readFileSync(kept, 'utf8')).toBe('mine');
  }),
);

it('writes a target without stars, with the stars beside it, for a mix', () =>
  inFolder(async (folder) => {
    expect((await linewash(['samples', folder, '--target', 'brightfen', '--starless', '--size', '150'])).code).toBe(0);
    const at = (name: string) => join(folder, `brightfen-${name}`);
    const masters = ['S', 'H', 'O'].map((line) => `${line}=${at(`starless-${line}.fits`)}`);
    const mixed = ['mix', 'sho', ...masters, '--stars', at('stars.tif'), '-o', join(folder, 'mix.png')];
    expect(await linewash(mixed)).toMatchObject({ code: 0 });
  }));

it('writes the subs of one target or of all, and tells the folders of the nights', () =>
  inFolder(async (folder) => {
    const { out } = await linewash(['samples', folder, '--subs', '--target', 'brightfen']);
    const nights = out.trimEnd().split('\n');
    expect(nights).toEqual(readdirSync(folder).map((night) => join(folder, night)));
    expect(nights.flatMap((night) => readdirSync(night))).toHaveLength(scene.subsOf('brightfen').length);
  }));

it('refuses what does not go together, or has no meaning', () =>
  inFolder(async (folder) => {
    for (const [words, said] of [
      [['--target', 'nebula'], /Allowed choices are emberwing, brightfen, palehoop/],
      [['--subs', '--starless'], /cannot be used with option '--starless'/],
      [['--subs', '--size', '300'], /cannot be used with option '--size/],
      [['--size', '9'], /whole number from 120 to 6000/],
    ] as const) {
      const ran = await linewash(['samples', join(folder, 'never'), ...words]);
      expect([ran.code, ran.out, ran.err]).toEqual([2, '', expect.stringMatching(said)]);
    }
    expect(readdirSync(folder)).toEqual([]);
  }));

it('stops between two files where that is asked for', () =>
  inFolder(async (folder) => {
    const ran = await linewash(['samples', folder, '--subs'], AbortSignal.abort());
    expect([ran.code, readdirSync(folder)]).toEqual([130, []]);
  }));
