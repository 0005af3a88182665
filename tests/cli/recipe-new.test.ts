import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Ajv2020 from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { recipeHash } from '../../lib/recipe/written/hash.ts';
import { parseRecipe } from '../../lib/recipe/written/parse.ts';
import { inFolder, linewash } from './capture.ts';

describe('linewash recipe new', () => {
  it('writes a recipe that editors can check by the schema beside it', () =>
    inFolder(async (folder) => {
      const file = join(folder, 'mine/own.json');
      const schema = join(folder, 'mine/recipe.schema.json');
      const ran = await linewash(['recipe', 'new', file, '--from', 'ember']);
      expect([ran.code, ran.out, ran.err]).toEqual([0, `${file}\n${schema}\n`, '']);
      const text = readFileSync(file, 'utf8');
      const { $schema } = JSON.parse(text);
      expect(join(folder, 'mine', $schema)).toBe(schema);
      const published = JSON.parse(readFileSync(schema, 'utf8'));
      expect(published.$id).toMatch(/^urn:linewash:recipe:\d+$/);
      const fits = new Ajv2020({ strict: false }).compile(published);
      expect(fits(JSON.parse(text)), JSON.stringify(fits.errors)).toBe(true);
      expect(fits({ ...JSON.parse(text), gamut: 'clop' })).toBe(false);
      const recipe = parseRecipe(text);
      expect(recipe).not.toHaveProperty('$schema');
      expect(await recipeHash(recipe)).toBe(await recipeHash((await catalogueRecipe('ember'))!));
      expect((await linewash(['recipe', 'check', file])).out).toBe(`${file}: no faults\n`);
      // A second recipe shares the schema.
      expect((await linewash(['recipe', 'new', join(folder, 'mine/b.json')])).code).toBe(0);
    }));

  it('replaces nothing without being told, and writes nothing then', () =>
    inFolder(async (folder) => {
      const [file, schema] = [join(folder, 'a.json'), join(folder, 'recipe.schema.json')];
      writeFileSync(schema, '{}');
      const refused = await linewash(['recipe', 'new', file]);
      expect([refused.code, refused.out, existsSync(file)]).toEqual([1, '', false]);
      expect(refused.err).toContain('recipe.schema.json: exists already');
      expect((await linewash(['recipe', 'new', file, '--force'])).code).toBe(0);
      expect((await linewash(['recipe', 'new', file])).err).toContain('a.json: exists already');
      expect((await linewash(['recipe', 'new', schema])).code).toBe(2);
    }));
});

describe('$schema', () => {
  it('may be any text, and nothing else', () => {
    const matrix = [[1], [1], [1]];
    const read = ($schema: unknown) => parseRecipe(JSON.stringify({ $schema, channels: ['H'], matrix }));
    expect(read('https://example.org/x')).toEqual({ channels: ['H'], matrix });
    expect(() => read(1)).toThrow(/fault|unknown key/);
  });
});
