import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { inTurn, pairsOf, someOf } from '../cases.ts';
import { plan as batchPlan, writeTargets } from '../node/batch/scene.ts';
import { linewash } from './capture.ts';

// Every text that linewash takes from outside, planted with characters that act on a terminal: escapes that clear the
// screen or set its title, C1 controls, carriage returns, backspaces, marks of direction. None may come out raw.
const EVIL = '\x1b]0;title\x07\x1b[2J\x1b[48;2;1;2;3m\x9b31m\x85\r\b\x7f\u202e\u2066\u200f\u061c\u2028';
const SEEN = 'Planted';
const planted = `${SEEN}${EVIL}Z`;
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what must not come out
const RAW = /[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/u;

const folder = mkdtempSync(join(tmpdir(), 'linewash-planted-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);
const masters = ['S', 'H', 'O'].map((line) => `${line}=${at(`masters/Rim-${line}.fits`)}`);
beforeAll(() => writeTargets(at('masters'), ['Rim']));

let seen = 0;
/** Runs a command line; nothing that it says, to a terminal or elsewhere, holds what acts on one. */
const isSafe = async (words: readonly string[]): Promise<void> => {
  for (const interactive of [false, true]) {
    const { out, err } = await linewash(words, undefined, interactive);
    // The bar on a terminal goes to the start of its line and clears it.
    const said = (out + err).replaceAll('\r\x1b[2K', '');
    if (said.includes(SEEN)) seen++;
    const found = RAW.exec(said);
    if (found !== null)
      expect.fail(
        `${JSON.stringify(words)} says ${JSON.stringify(said.slice(Math.max(0, found.index - 60), found.index + 20))}`,
      );
  }
};

/** That what was planted came out at all, so that there was something to be made safe. */
const comesOut = async (run: () => Promise<void>) => {
  seen = 0;
  await run();
  expect(seen).toBeGreaterThan(0);
};

/** The verbs below a group of verbs, by its help. */
const verbsBelow = async (...group: string[]): Promise<string[][]> => {
  const { out } = await linewash([...group, '--help']);
  const list = out.split('\nCommands:\n')[1] ?? '';
  const names = [...list.matchAll(/^ {2}([a-z]+)/gm)].map(([, name]) => name!).filter((name) => name !== 'help');
  const below = await Promise.all(names.map((name) => verbsBelow(...group, name)));
  return [...(group.length === 0 ? [] : [group]), ...below.flat()];
};
const verbs = await verbsBelow();

describe('words of a command line', () => {
  it('belong to all verbs', () => {
    expect(verbs.map((words) => words.join(' '))).toEqual(
      expect.arrayContaining([
        'mix',
        'sheet',
        'measure',
        'suggest',
        'hours',
        'batch',
        'batch init',
        'samples',
        'recipe diff',
      ]),
    );
  });

  it.each(verbs.map((verb) => [verb.join(' '), verb] as const))('%s', async (_, verb) => {
    const { out } = await linewash([...verb, '--help']);
    const options = [...out.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+) [<[]/gm)].map(([, name]) => name!);
    await comesOut(async () => {
      await isSafe([...verb, at(planted)]);
      await isSafe([...verb, at(planted), at(planted)]);
      // Whatever these are told is what they make.
      if (verb[0] === 'samples' || verb[1] === 'new') return;
      await isSafe([...verb, `H=${planted}`]);
      await isSafe([...verb, 'hoo', `${planted}=x.fits`, '-o', at(planted)]);
      await isSafe([...verb, `--${planted}`]);
      await isSafe([...verb, `#lw1-${planted}`]);
      for (const option of someOf(options, 6)) {
        await isSafe([...verb, 'hoo', ...masters, option, at(planted)]);
        await isSafe([...verb, 'hoo', ...masters, `${option}=${planted}=1`]);
      }
    });
  });

  it('that are no verb', () => comesOut(() => isSafe([planted])));
});

/** A value with another text in the place of each text, and of each key, one at a time. */
const plantings = (value: unknown): unknown[] => {
  if (typeof value === 'string') return [planted, `${value}${EVIL}`];
  if (Array.isArray(value)) return value.flatMap((inner, i) => plantings(inner).map((other) => value.with(i, other)));
  if (typeof value !== 'object' || value === null) return [planted];
  return Object.entries(value).flatMap(([key, inner]) => {
    const { [key]: _, ...rest } = value as Record<string, unknown>;
    return [...plantings(inner).map((other) => ({ ...value, [key]: other })), { ...rest, [`${key}${EVIL}`]: inner }];
  });
};

describe('texts in recipes', () => {
  const recipe = {
    ...catalogueRecipe('ember')!,
    author: 'somebody',
    knobs: { ...catalogueRecipe('ember')!.knobs, more: { value: 1, min: 0, max: 2, about: 'more' } },
  };
  const verbsOf = (file: string) => [
    ...['check', 'show', 'hash', 'link', 'from'].map((verb) => ['recipe', verb, file]),
    ['recipe', 'show', file, '--json'],
    ['recipe', 'diff', file, 'ember'],
  ];

  it.skipIf(!inTurn('they stand'))('wherever they stand', { timeout: 120_000 }, () =>
    comesOut(async () => {
      const file = at('recipe.json');
      for (const [other, words] of pairsOf(plantings(recipe), verbsOf(file))) {
        writeFileSync(file, JSON.stringify(other));
        await isSafe(words);
      }
    }),
  );

  it('that are no JSON, and in names that a picture carries on', () =>
    comesOut(async () => {
      writeFileSync(at('torn.json'), `{"name": "${planted}`);
      for (const words of verbsOf(at('torn.json'))) await isSafe(words);
      const file = at('named.json');
      writeFileSync(file, JSON.stringify({ ...catalogueRecipe('hoo'), name: planted, about: planted }));
      const picture = at('named.tif');
      await isSafe(['mix', file, ...masters, '-o', picture, '--json']);
      expect(existsSync(picture)).toBe(true);
      for (const words of verbsOf(picture)) await isSafe(words);
      await isSafe(['sheet', file, 'hoo', ...masters, '-o', at('named.png')]);
      await isSafe(['recipe', 'settle', file, ...masters, '--recipe']);
      await isSafe(['hours', file, ...masters]);
    }));

  it('keep their meaning as JSON', async () => {
    const file = at('whole.json');
    const name = planted.slice(0, 60);
    writeFileSync(file, JSON.stringify({ ...catalogueRecipe('hoo'), name }));
    const { out } = await linewash(['recipe', 'from', file]);
    expect(JSON.parse(out).name).toBe(name);
  });
});

describe('names of files, and what their headers hold', () => {
  const evil = () => at(`${SEEN}${EVIL.replaceAll('/', '')}`);

  it.skipIf(!inTurn('recipes, plans'))('of masters, recipes, plans, pictures and folders', () =>
    comesOut(async () => {
      mkdirSync(evil());
      const named = (name: string) => join(evil(), `${planted}-${name}`);
      for (const line of ['S', 'H', 'O']) copyFileSync(at(`masters/Rim-${line}.fits`), named(`${line}.fits`));
      const own = ['S', 'H', 'O'].map((line) => `${line}=${named(`${line}.fits`)}`);
      writeFileSync(named('recipe.json'), JSON.stringify(catalogueRecipe('hoo')));
      writeFileSync(named('torn.fits'), readFileSync(at('masters/Rim-H.fits')).subarray(0, 5000));
      await isSafe(['measure', ...own]);
      await isSafe(['measure', named('H.fits'), named('torn.fits')]);
      await isSafe(['measure', `H=${named('torn.fits')}`]);
      await isSafe(['mix', named('recipe.json'), ...own, '-o', named('out.tif')]);
      await isSafe(['mix', named('recipe.json'), ...own, '-o', named('out.tif')]);
      await isSafe(['mix', 'hoo', ...own, '-o', named('out.txt')]);
      await isSafe(['mix', 'hoo', ...own, '-o', join(named('none'), 'out.tif'), '--json']);
      await isSafe(['sheet', named('recipe.json'), ...own, '-o', named('sheet.png')]);
      await isSafe(['suggest', ...own, '-o', named('suggested'), '--sheet', named('suggested.png')]);
      await isSafe(['recipe', 'check', named('recipe.json'), named('none.json')]);
      await isSafe(['batch', 'init', evil(), '-o', named('plan.json')]);
      for (const more of [['--dry-run'], ['--jobs'], [], ['--json']])
        await isSafe(['batch', named('plan.json'), ...more]);
      await isSafe(['samples', named('samples')]);
    }),
  );

  it.skipIf(!inTurn('a header'))('in any place of a header that takes text', () =>
    comesOut(async () => {
      const bytes = readFileSync(at('masters/Rim-H.fits'));
      const cards = bytes.toString('latin1', 0, bytes.indexOf('END  ', 0, 'latin1'));
      const count = Math.floor(cards.length / 80);
      const raw = Buffer.from(`${SEEN}${EVIL}`, 'utf8').subarray(0, 60);
      const places = Array.from({ length: count }, (_, i) => [0, 11, 30].map((from) => [i, from] as const)).flat();
      for (const [i, from] of someOf(places, 20)) {
        const copy = Buffer.from(bytes);
        raw.subarray(0, Math.min(raw.length, 79 - from)).copy(copy, 80 * i + from);
        const file = at('header-H.fits');
        writeFileSync(file, copy);
        await isSafe(['measure', `H=${file}`]);
        await isSafe(['measure', file]);
      }
    }),
  );
});

describe('texts in plans', () => {
  it('of a batch', { timeout: 120_000 }, () =>
    comesOut(async () => {
      const plan = {
        ...batchPlan({ recipes: ['hoo'], into: at('out') }),
        about: 'words',
        targets: [
          { name: 'Rim', masters: { H: at('masters/Rim-H.fits'), O: at('masters/Rim-O.fits') }, knobs: { a: 1 } },
        ],
      };
      const found = { ...plan, targets: [{ folder: at('masters'), pattern: '{target}-{line}.fits', only: ['Rim'] }] };
      const ways = [['--dry-run'], ['--dry-run', '--json'], ['--jobs']];
      for (const [other, more] of pairsOf([...plantings(plan), ...plantings(found)], ways))
        await isSafe(['batch', JSON.stringify(other), ...more]);
      const made = { ...plan, targets: [{ ...plan.targets[0], name: planted, knobs: undefined }] };
      await isSafe(['batch', JSON.stringify(made)]);
      await isSafe(['batch', JSON.stringify(made), '--json', '--force']);
    }),
  );

  it('of nights', { timeout: 120_000 }, () =>
    comesOut(async () => {
      const plan = {
        linewash: 1,
        nights: [{ date: '2026-01-10', dark: '6h' }],
        targets: [
          {
            name: 'Rim',
            masters: { H: 'none.fits', O: 'none.fits' },
            recipe: 'hoo',
            goal: 'colour',
            time: { H: '1h' },
          },
        ],
      };
      for (const other of plantings(plan)) {
        writeFileSync(at('nights.json'), JSON.stringify(other));
        await isSafe(['hours', '--plan', at('nights.json')]);
      }
    }),
  );
});
