import { readFileSync } from 'node:fs';
import Ajv2020 from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { CATALOGUE } from '../../../lib/palettes/catalogue.ts';
import { parseRecipe } from '../../../lib/recipe/written/parse.ts';
import { pages } from '../../tools/docs-recipe.mjs';
import { lineRecipe, plainRow, rowRecipe } from './arbitrary.ts';

const published = () => JSON.parse(readFileSync('docs/recipe.schema.json', 'utf8'));
const validate = new Ajv2020({ allErrors: true, strict: true, strictRequired: false, strictTypes: false }).compile(
  published(),
);
const M = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

describe('the published schema', () => {
  let files: { path: string; content: string }[];
  beforeAll(async () => {
    const modules: Record<string, () => Promise<unknown>> = {
      '/lib/recipe/written/schema.ts': () => import('../../../lib/recipe/written/schema.ts'),
      '/lib/mix/balance.ts': () => import('../../../lib/mix/balance.ts'),
      '/lib/stretch/curves.ts': () => import('../../../lib/stretch/curves.ts'),
      '/lib/colour/gamut.ts': () => import('../../../lib/colour/gamut.ts'),
    };
    files = await pages({ load: (module: string) => modules[module]!(), root: process.cwd() });
  });

  it('and the reference page are up to date: npm run docs', () => {
    expect(files.map(({ path }) => path)).toEqual(['docs/recipe.schema.json', 'docs/recipe.md']);
    for (const { path, content } of files) expect(readFileSync(path, 'utf8'), path).toBe(content);
  });

  it('describes every key', () => {
    const { properties } = published();
    for (const [key, schema] of Object.entries<any>(properties)) expect(schema.description, key).toBeTruthy();
  });

  it.each(CATALOGUE.map(({ id, recipe }) => [id, recipe] as const))('accepts %s', (_, recipe) => {
    expect(validate(recipe), JSON.stringify(validate.errors)).toBe(true);
  });

  it('accepts what the reader accepts', () =>
    fc.assert(
      fc.property(fc.oneof(rowRecipe, lineRecipe, plainRow), (recipe) => {
        const value = JSON.parse(JSON.stringify(recipe));
        expect(() => parseRecipe(JSON.stringify(value))).not.toThrow();
        expect(validate(value), JSON.stringify(validate.errors)).toBe(true);
      }),
      { numRuns: 200 },
    ));

  it.each<[string, unknown]>([
    ['nothing', {}],
    ['a list', []],
    ['both forms', { matrix: M, lines: { S: 'red', H: 'lime', O: 'blue' } }],
    ['two rows', { matrix: M.slice(1) }],
    ['a null weight', { matrix: [[null, 0, 0], M[1], M[2]] }],
    ['an empty weight', { matrix: [[' ', 0, 0], M[1], M[2]] }],
    ['a huge weight', { matrix: [[1e6, 0, 0], M[1], M[2]] }],
    ['an unknown key', { matrix: M, nmae: 'x' }],
    ['an unknown key inside', { matrix: M, stretch: { H: { curv: 'bias' } } }],
    ['another version', { linewash: 3, matrix: M }],
    ['an unknown balance', { matrix: M, balance: 'row' }],
    ['a channel of another kind', { matrix: M, channels: ['S', 'H', '../O'] }],
    ['a knob without a value', { matrix: M, knobs: { k: {} } }],
    ['an odd key by channel', { matrix: M, levels: { '?': {} } }],
    ['a point of three', { matrix: M, stretch: { H: { curve: 'points', points: [[0.1, 0.2, 0.3]] } } }],
    ['a list of entries', { matrix: M, stretch: [] }],
    ['a wavelength that has no colour', { lines: { H: { wavelength: 1000 } } }],
  ])('refuses %s, as the reader does', (_, recipe) => {
    expect(validate(recipe)).toBe(false);
    expect(() => parseRecipe(JSON.stringify(recipe))).toThrow();
  });
});
