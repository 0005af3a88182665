import { describe, expect, it, vi } from 'vitest';
import { catalogueRecipe } from '../../../lib/palettes/catalogue.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { withKnobs } from '../../../lib/recipe/written/knobs.ts';
import { checkedRecipe, loadRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { faultsOf, SHO } from './fault.ts';

const loaded = vi.hoisted(() => ({ parser: 0 }));
vi.mock('mathjs/number', async (original) => {
  loaded.parser++;
  return original();
});

const kiln = catalogueRecipe('kiln');

describe('a recipe made plain', () => {
  // Must stay the first test: the parser is loaded once and for all.
  it('needs no parser of expressions for numbers, colours and the catalogue as it is', async () => {
    await loadRecipe('{"matrix": [[1, "0", "0.5"], [0, " -1e-1 ", 0], [0, 0, 1]]}');
    for (const id of ['ember', 'sho', 'natural', 'quartet']) await plainRecipe(catalogueRecipe(id)!);
    checkedRecipe(kiln);
    expect(loaded.parser).toBe(0);
    // The catalogue at its own knobs is known; another setting is computed.
    await plainRecipe(kiln);
    expect(loaded.parser).toBe(0);
    await plainRecipe(kiln, { share: 0.4 });
    expect(loaded.parser).toBe(1);
  });

  it('has numbers in the place of expressions, and no knobs', async () => {
    const plain = await plainRecipe(kiln);
    expect(plain.matrix).toEqual([
      [0, 1, 0],
      [0.35, 0, 0.65],
      [0, 0, 1],
    ]);
    expect('knobs' in plain).toBe(false);
    expect(plain.name).toBe(kiln.name);
    expect((await plainRecipe(kiln, { share: 1 })).matrix[1]).toEqual([1, 0, 0]);
    // What is plain already stays what it is.
    expect(await plainRecipe(plain)).toEqual(plain);
  });

  it('has numbers in its row of lightness too', async () => {
    const recipe = { matrix: SHO, knobs: { k: { value: 0.25 } }, lightness: ['k', '1 - k', 0] };
    expect((await plainRecipe(recipe)).lightness).toEqual([0.25, 0.75, 0]);
    expect((await plainRecipe({ ...recipe, lightness: 'H' })).lightness).toBe('H');
    const none = await faultsOf(() => plainRecipe({ ...recipe, lightness: ['k - k', 0, 0] }));
    expect(none).toMatchObject([{ path: '$.lightness', message: 'all weights are zero' }]);
  });

  it('is checked at the values its knobs have', async () => {
    const recipe = { knobs: { k: { value: 0.5 } }, matrix: [['1 / k', 0, 0], SHO[1]!, SHO[2]!] };
    expect((await plainRecipe(recipe)).matrix[0]![0]).toBe(2);
    expect(await faultsOf(() => plainRecipe(recipe, { k: 0 }))).toMatchObject([
      { path: '$.matrix[0][0]', message: '"1 / k": gives Infinity where k = 0' },
    ]);
    const rows = { ...recipe, matrix: [['k', '-k', 0], SHO[1]!, SHO[2]!], balance: 'rows' as const };
    expect(await faultsOf(() => plainRecipe(rows))).toMatchObject([{ path: '$.matrix[0]' }]);
  });
});

describe('a knob', () => {
  it('is set within its range', () => {
    expect(withKnobs(kiln, { share: 0 }).knobs!.share).toEqual({ ...kiln.knobs!.share, value: 0 });
    expect(kiln.knobs!.share!.value).toBe(0.35);
    expect(withKnobs(kiln, {})).toBe(kiln);
  });

  it.each<[Record<string, number>, RegExp]>([
    [{ share: 1.1 }, /share takes 0 to 1, not 1.1/],
    [{ share: Number.NaN }, /share takes 0 to 1, not NaN/],
    [{ shaer: 0.5 }, /no knob shaer/],
    [{ toString: 0.5 } as unknown as Record<string, number>, /no knob toString/],
  ])('is refused: %j', (values, message) => {
    expect(() => withKnobs(kiln, values)).toThrow(message);
    expect(() => withKnobs(kiln, values)).toThrow(LinewashError);
  });

  it('that is refused tells which there are, and their ranges', () => {
    const advice = (recipe: WrittenRecipe) => {
      try {
        withKnobs(recipe, { other: 1 });
      } catch (error) {
        return (error as LinewashError).advice;
      }
      return undefined;
    };
    const knobs = { share: { value: 0.5 }, lift: { value: 2, min: -1.5, max: 40 } };
    for (const part of ['share', '0 to 1', 'lift', '-1.5 to 40'])
      expect(advice({ matrix: SHO, knobs })).toContain(part);
    expect(advice({ matrix: SHO })).toMatch(/none$/);
  });
});
