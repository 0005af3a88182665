import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { recipeDiff } from '../../../lib/recipe/share/diff.ts';
import { canonicalForm } from '../../../lib/recipe/written/canonical.ts';
import { recipeHash } from '../../../lib/recipe/written/hash.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { sha256 } from '../../../lib/recipe/written/sha256.ts';
import { rowRecipe } from './arbitrary.ts';
import { SHO } from './fault.ts';

const sho: WrittenRecipe = { matrix: SHO };
const hash = (recipe: object) => recipeHash(recipe as WrittenRecipe);

describe('SHA-256', () => {
  it('gives the digests of FIPS 180-4, examples', () => {
    const digest = (text: string) => sha256(new TextEncoder().encode(text));
    expect(digest('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    expect(digest('abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq')).toBe(
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    );
  });
  it('agrees with the platform for every length of the last block', () => {
    for (let length = 0; length < 200; length++) {
      const bytes = Uint8Array.from({ length }, (_, i) => (i * 37 + length) & 255);
      expect(sha256(bytes)).toBe(createHash('sha256').update(bytes).digest('hex'));
    }
  });
});

describe('the hash of a recipe', () => {
  it('is short, and the start of the SHA-256 of its canonical form', async () => {
    const form = JSON.stringify(await canonicalForm(sho));
    expect(form).toBe('{"channels":["S","H","O"],"gamut":"smooth","matrix":[[1,0,0],[0,1,0],[0,0,1]]}');
    const digest = createHash('sha256').update(form).digest('hex');
    expect(await hash(sho)).toBe(`${digest.slice(0, 4)}-${digest.slice(4, 8)}-${digest.slice(8, 12)}`);
  });

  it.each<[string, object]>([
    ['words', { name: 'a', about: 'b', by: 'c', licence: 'CC0-1.0', linewash: 2, 'x-own': 1 }],
    ['channels that are the usual ones', { channels: ['S', 'H', 'O'] }],
    ['defaults', { balance: 'as-written', space: 'srgb', mixIn: 'display', gamut: 'smooth', lightness: null }],
    ['a default curve', { stretch: { '*': { curve: 'bias', background: 0.12 }, H: {} } }],
    [
      'weights as text',
      {
        matrix: [
          ['1', '0', '0.0'],
          [0, '1e0', 0],
          [0, 0, '+1'],
        ],
      },
    ],
    [
      'weights as expressions',
      {
        knobs: { k: { value: 0.5 } },
        matrix: [
          ['2 * k', 0, 0],
          [0, 'k + k', 0],
          [0, 0, 'k / k'],
        ],
      },
    ],
    ['colours of the lines', { matrix: undefined, lines: { S: '#f00', H: 'lime', O: 'color(srgb 0 0 1)' } }],
    ['the usual background', { background: { model: 'level' } }],
    ['key order', { gamut: 'smooth', matrix: SHO }],
    ['parts that say nothing', { stretch: {}, levels: {}, white: {}, background: {} }],
    ['entries that say nothing', { stretch: { H: {}, '*': {} }, levels: { S: {}, '*': {} } }],
    ['channels that are not there', { levels: { X: { white: 9 } }, stretch: { X: { curve: 'linear' } } }],
    [
      'dust of binary fractions',
      {
        matrix: [
          [1, -1e-17, 0],
          [3e-17, 1, 0],
          [0, 0, 1 + 2e-16],
        ],
      },
    ],
  ])('does not see %s', async (_, change) => {
    const { matrix, ...rest } = { ...sho, ...change } as WrittenRecipe;
    expect(await hash(matrix === undefined ? rest : { ...rest, matrix })).toBe(await hash(sho));
  });

  it('does not see how an entry by channel is written', async () => {
    const all = { ...sho, stretch: { '*': { background: 0.2 } }, levels: { '*': { white: 100 } }, white: { '*': 0.5 } };
    const each = <T>(entry: T) => ({ O: entry, S: entry, H: entry });
    const one = { ...sho, stretch: each({ background: 0.2 }), levels: each({ white: 100 }), white: each(0.5) };
    expect(await hash(one)).toBe(await hash(all));
    expect(await hash(one)).not.toBe(await hash(sho));
  });

  it.each<[string, object]>([
    [
      'a weight',
      {
        matrix: [
          [1, 0, 0],
          [0, 1, 0],
          [0, 0.001, 1],
        ],
      },
    ],
    ['the order of channels', { channels: ['H', 'S', 'O'] }],
    ['a balance', { balance: 'peak' }],
    ['a space', { space: 'display-p3' }],
    ['a curve', { stretch: { H: { curve: 'asinh' } } }],
    ['a level', { levels: { H: { black: 3 } } }],
    ['a background', { background: { model: 'none' } }],
    ['a small level', { levels: { '*': { white: 3e-12 } } }],
    ['a lightness', { lightness: [0, 1, 0] }],
    ['a white', { balance: 'white', white: { '*': 1, H: 0.5 } }],
    ['a green limit', { greenLimit: 0.1 }],
  ])('sees %s', async (_, change) => expect(await hash({ ...sho, ...change })).not.toBe(await hash(sho)));

  it('sees small levels and small differences between them, but no dust in rows of lightness', async () => {
    const levels = (white: number) => hash({ ...sho, levels: { '*': { white } } });
    expect(await levels(3e-12)).not.toBe(await levels(4e-12));
    expect(await levels(3e-12)).toBe(await levels(3e-12 * (1 + 1e-14)));
    const lightness = (row: number[]) => hash({ ...sho, lightness: row });
    expect(await lightness([1, 1e-17, -1e-17])).toBe(await lightness([1, 0, 0]));
    expect(await lightness([1, 1e-3, 0])).not.toBe(await lightness([1, 0, 0]));
  });

  it('stands for a form without negative zeros', async () => {
    const { matrix } = await canonicalForm({ matrix: [[1, -1e-17, 0], SHO[1]!, SHO[2]!] });
    expect(matrix).toEqual(SHO);
  });

  it('sees of a channel’s curve what it has of its own and else that for all, in light that for all alone', async () => {
    const stretch = { '*': { curve: 'asinh', background: 0.2 }, H: { background: 0.3 } };
    const each = { curve: 'asinh', background: 0.2 };
    const full = { S: each, O: each, H: { curve: 'asinh', background: 0.3 } };
    expect(await hash({ ...sho, stretch })).toBe(await hash({ ...sho, stretch: full }));
    const light = { ...sho, mixIn: 'light', stretch };
    expect(await hash(light)).toBe(await hash({ ...light, stretch: { '*': each } }));
    expect(await hash(light)).not.toBe(await hash({ ...light, stretch: full }));
  });

  it('is the same however a recipe travels', () =>
    fc.assert(
      fc.asyncProperty(rowRecipe, async (recipe) => {
        const shuffled = Object.fromEntries(Object.entries(JSON.parse(JSON.stringify(recipe))).reverse());
        expect(await hash(shuffled)).toBe(await hash(recipe));
        expect(await recipeDiff(recipe, shuffled as WrittenRecipe)).toEqual([]);
      }),
      { numRuns: 100 },
    ));
});

describe('the difference of two recipes', () => {
  it('is said in words', async () => {
    const one: WrittenRecipe = { ...sho, name: 'One', stretch: { '*': { background: 0.12 } } };
    const other: WrittenRecipe = {
      name: 'Other',
      about: 'for planetary nebulae',
      matrix: [
        [1, 0, 0],
        [0, 0.75, 0.25],
        [0, 0, 1],
      ],
      balance: 'rows',
      lightness: 'H',
      stretch: { H: { background: 0.2 }, O: { curve: 'asinh', a: 0.05 } },
    };
    expect(await recipeDiff(one, other)).toEqual([
      'name: "One" → "Other"',
      'the description differs',
      'H in green: 1 → 0.75',
      'O in green: 0 → 0.25',
      'balance: as-written → rows',
      'lightness: none → H',
      'stretch H background: 0.12 → 0.2',
      'stretch O a: none → 0.05',
      'stretch O curve: bias → asinh',
    ]);
  });

  it('compares by the names of lines, not by columns', async () => {
    const turned: WrittenRecipe = {
      channels: ['O', 'S', 'H'],
      matrix: [
        [0, 1, 0],
        [0, 0, 1],
        [1, 0, 0],
      ],
    };
    expect(await recipeDiff(sho, turned)).toEqual([]);
    expect(await recipeDiff(sho, catalogueRecipe('hoo'))).toEqual(
      expect.arrayContaining(['S is no longer a channel', 'S in red: 1 → 0', 'H in red: 0 → 1', 'O in green: 0 → 1']),
    );
    expect(await recipeDiff({ channels: ['H'], matrix: [[1], [1], [1]] }, sho)).toEqual(
      expect.arrayContaining(['S is a new channel', 'S in red: 0 → 1']),
    );
  });

  it('compares rows of lightness', async () => {
    const rows = await recipeDiff({ ...sho, lightness: [1, 0, 0] }, { ...sho, lightness: [0.5, 0.5, 0] });
    expect(rows).toEqual(['S in lightness: 1 → 0.5', 'H in lightness: 0 → 0.5']);
    expect(await recipeDiff({ ...sho, lightness: [1, 0, 0] }, sho)).toEqual(['lightness: a row of weights → none']);
  });
});
