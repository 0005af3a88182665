import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { masterFile, sceneTruth } from '../../samples/scene/index.ts';
import { pairsOf, someOf } from '../cases.ts';
import { asWords, linewash } from './capture.ts';

const LINES = ['S', 'H', 'O'] as const;
type Files = Readonly<Record<(typeof LINES)[number], string>>;

const root = mkdtempSync(join(tmpdir(), 'linewash-misfits-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

let good: Files;
let apart: string;
let smaller: string;

beforeAll(async () => {
  const size = { width: 300, height: 200 };
  const write = async (name: string, truth: ReturnType<typeof sceneTruth>, line: (typeof LINES)[number]) => {
    const file = join(root, name);
    writeFileSync(file, await masterFile(truth[line], 1));
    return file;
  };
  const truth = sceneTruth(size);
  good = {
    S: await write('S.fits', truth, 'S'),
    H: await write('H.fits', truth, 'H'),
    O: await write('O.fits', truth, 'O'),
  };
  apart = await write('O-apart.fits', sceneTruth({ ...size, misfit: { O: { dx: 7 } } }), 'O');
  smaller = await write('O-smaller.fits', sceneTruth({ ...size, misfit: { O: { crop: { left: 1 } } } }), 'O');
});

let runs = 0;
/** A name that no run had before. */
const fresh = (ending: string) => join(root, `${runs++}${ending}`);

const planOf = (files: Files) =>
  JSON.stringify({
    targets: [{ name: 'one', masters: files }],
    recipes: ['sho'],
    into: fresh(''),
    outputs: ['{target} {recipe}.png'],
  });

/** A recipe that states every number, so that no master is measured. */
const STATED = JSON.stringify({
  linewash: 1,
  name: 'stated',
  channels: ['S', 'H', 'O'],
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  background: { model: 'none' },
  levels: { '*': { black: 0, white: 1 } },
  stretch: { '*': { curve: 'linear' } },
});

/** What each verb is called with. */
const VERBS: Readonly<Record<string, (files: Files) => string[]>> = {
  measure: (files) => ['measure', ...asWords(files)],
  mix: (files) => ['mix', 'sho', ...asWords(files), '-o', fresh('.png'), '--no-cache'],
  sheet: (files) => ['sheet', 'sho', 'ember', ...asWords(files), '-o', fresh('.png')],
  suggest: (files) => ['suggest', ...asWords(files)],
  hours: (files) => ['hours', 'sho', ...asWords(files)],
  'hours with stated numbers': (files) => ['hours', STATED, ...asWords(files)],
  batch: (files) => ['batch', planOf(files), '--no-cache'],
};

/** What does not fit, and what is said of it, with the name of the file. */
const MISFITS: Readonly<Record<string, { files(): Files; words: RegExp }>> = {
  'swapped lines': {
    files: () => ({ ...good, S: good.H, H: good.S }),
    words: /H\.fits: given as S, but its header says the filter is "H-alpha"; S and H look swapped/,
  },
  'a copy': {
    files: () => {
      const copy = join(root, 'copy.fits');
      copyFileSync(good.H, copy);
      return { ...good, S: copy };
    },
    words: /(H|copy)\.fits: [SH] holds the same picture as [SH] \(.*(H|copy)\.fits\)/,
  },
  'a shift of seven pixels': {
    files: () => ({ ...good, O: apart }),
    words: /O-apart\.fits: O lies (6\.9|7\.0|7\.1) px right.* of H\. Register the masters again/,
  },
};

/** All warnings that a verb's JSON holds. */
const warningsIn = (out: string): string[] => {
  const values = out.startsWith('{\n')
    ? [JSON.parse(out)]
    : out
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line));
  return values.flatMap(({ warnings = [] }) => warnings);
};

it.each(pairsOf(Object.keys(VERBS), Object.keys(MISFITS)))(
  'linewash %s warns of %s, once, and goes on',
  async (verb, misfit) => {
    const { files, words: said } = MISFITS[misfit]!;
    const words = VERBS[verb]!;
    const ran = await linewash([...words(files()), '--quiet']);
    expect(ran.code, ran.err).toBe(0);
    expect(ran.err.split('\n').filter((line) => said.test(line))).toHaveLength(1);
    const json = await linewash([...words(files()), '--quiet', '--json']);
    expect(json.code, json.err).toBe(0);
    expect(warningsIn(json.out).filter((warning) => said.test(warning))).toHaveLength(1);
  },
);

describe.each(someOf(Object.entries(VERBS), 2))('linewash %s', (_, words) => {
  it('says nothing of masters that fit', async () => {
    const ran = await linewash([...words(good), '--quiet', '--json']);
    expect(ran.code, ran.err).toBe(0);
    expect(ran.err).toBe('');
    expect(warningsIn(ran.out)).toEqual([]);
  });

  it('names both masters of different sizes in one sentence', async () => {
    const ran = await linewash([...words({ ...good, O: smaller }), '--quiet']);
    // Each can still be looked at by itself; nothing can be made of them.
    expect(ran.code).toBe(words === VERBS.measure ? 0 : words === VERBS.batch ? 1 : 2);
    const sentences = `${ran.err}${ran.out}`.split('\n').filter((line) => line.includes('299 × 200'));
    expect(sentences.filter((line) => /O-smaller\.fits.*S\.fits.*300 × 200/.test(line))).toHaveLength(1);
  });
});

describe('a mix', () => {
  it('of stated numbers looks at headers and at no picture', async () => {
    const mix = (files: Files) => linewash(['mix', STATED, ...asWords(files), '-o', fresh('.png'), '--no-cache']);
    const { 'swapped lines': swapped, 'a shift of seven pixels': shifted } = MISFITS;
    expect((await mix(swapped!.files())).err).toMatch(swapped!.words);
    expect((await mix(shifted!.files())).err).toBe('');
  });

  it('says nothing of masters that its recipe does not use', async () => {
    const files = asWords({ ...good, S: good.H, O: apart, H: good.S });
    const recipe = JSON.stringify({ ...JSON.parse(STATED), channels: ['O'], matrix: [[1], [1], [1]] });
    expect((await linewash(['mix', recipe, ...files, '-o', fresh('.png'), '--no-cache'])).err).toBe('');
  });

  it('whose numbers are only settled is warned of, too', async () => {
    const ran = await linewash(['recipe', 'settle', 'sho', ...asWords({ ...good, O: apart })]);
    expect(ran.err).toMatch(MISFITS['a shift of seven pixels']!.words);
  });
});
