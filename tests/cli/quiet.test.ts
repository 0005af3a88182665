import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { writeTargets } from '../node/batch/scene.ts';
import { inFolder, linewash } from './capture.ts';

/** What a verb says to a person at a terminal. */
const seen = async (words: readonly string[]) => {
  const { code, out, err } = await linewash(words, undefined, true);
  expect(code, err).toBe(0);
  return { out, err };
};

/** A command line of each verb that takes its time. */
const commands = (folder: string): Record<string, readonly string[]> => {
  const masters = ['S', 'H', 'O'].map((line) => `${line}=${join(folder, `Arc-${line}.fits`)}`);
  const plan = {
    targets: [{ folder, pattern: '{target}-{line}.fits' }],
    recipes: ['hoo'],
    outputs: ['{target}.tif'],
    sheet: null,
  };
  writeFileSync(join(folder, 'plan.json'), JSON.stringify(plan));
  const nights = {
    linewash: 1,
    nights: [{ date: '2026-01-10', dark: '6h' }],
    targets: [{ name: 'Arc', masters: { H: 'Arc-H.fits', O: 'Arc-O.fits' }, recipe: 'hoo' }],
  };
  writeFileSync(join(folder, 'nights.json'), JSON.stringify(nights));
  return {
    mix: ['mix', 'hoo', ...masters.slice(1), '-o', join(folder, 'x.tif'), '--force'],
    sheet: ['sheet', 'hoo', ...masters.slice(1), '-o', join(folder, 'x.png'), '--size', '60', '--force'],
    measure: ['measure', ...masters],
    suggest: ['suggest', ...masters],
    hours: ['hours', 'hoo', ...masters.slice(1)],
    'hours --plan': ['hours', '--plan', join(folder, 'nights.json')],
    batch: ['batch', join(folder, 'plan.json'), '--force'],
  };
};

describe('the bar of a verb', () => {
  it.each(['mix', 'sheet', 'measure', 'suggest', 'hours', 'hours --plan', 'batch'])(
    '%s: is drawn on a terminal and taken away at the end, and is not there with --quiet',
    (verb) =>
      inFolder(async (folder) => {
        await writeTargets(folder, ['Arc']);
        const words = commands(folder)[verb]!;
        const loud = await seen(words);
        expect(loud.err).toMatch(/[━─]{24}/);
        expect(loud.err.slice(loud.err.lastIndexOf('─') + 1)).toContain('\r\x1b[2K');
        const quiet = await seen([...words, '--quiet']);
        expect(quiet.err).not.toMatch(/[━─\r]/);
        if (verb !== 'batch') expect(quiet.out).toBe(loud.out);
      }),
  );
});
