import { describe, expect, it } from 'vitest';
import { parseNote } from '../../../lib/recipe/share/note.ts';
import { checkWeights } from '../../../lib/recipe/written/check-balance.ts';
import { balanceContext } from '../../../lib/recipe/written/facts-of.ts';
import { loadRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { faultsOf } from './fault.ts';

const MATRIX = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

describe('the values that become white', () => {
  it.each<[Recipe['white'], number[] | undefined]>([
    [undefined, undefined],
    [{ S: 0.5 }, [0.5, 1, 1]],
    [{ S: 0.5, '*': 0.8 }, [0.5, 0.8, 0.8]],
  ])('as %j', (white, values) => {
    expect(balanceContext({ matrix: MATRIX, white }).white).toEqual(values);
  });
});

describe('weights as numbers', () => {
  it('are not balanced where a row has the wrong length', () => {
    const matrix = [
      [1, 0],
      [0, 1, 0],
      [0, 0],
    ];
    expect(checkWeights({ matrix, balance: 'rows' })).toEqual([]);
    const empty = [[0, 0, 0], ...MATRIX.slice(1)];
    expect(checkWeights({ matrix: empty, balance: 'rows' })).toMatchObject([{ path: ['matrix', 0] }]);
  });

  it('come from expressions, of which a long one is quoted by its beginning', async () => {
    const long = `1 + ${'0 * '.repeat(20)}2000`;
    const text = JSON.stringify({ matrix: [[`2 * ${long}`, 0, 0], [0, `1001 + ${long}`, 0], MATRIX[2]] });
    const faults = await faultsOf(() => loadRecipe(text));
    expect(faults.map(({ path }) => path)).toEqual(['$.matrix[1][1]']);
    expect(faults[0]!.message).toBe(
      `"${`1001 + ${long}`.slice(0, 39)}…": gives 1002, which is not within -1000 to 1000`,
    );
  });

  it('may be few or many in a row of lightness', async () => {
    const plain = await plainRecipe({ matrix: MATRIX, lightness: [0.5, '1/4', '0.25'] });
    expect(plain.lightness).toEqual([0.5, 0.25, 0.25]);
  });
});

describe('the note of a picture', () => {
  it('may lack the settled numbers', async () => {
    expect((await parseNote(JSON.stringify({ recipe: { matrix: MATRIX } }))).settled).toBeUndefined();
    const settled = { matrix: MATRIX };
    expect((await parseNote(JSON.stringify({ recipe: { matrix: MATRIX }, settled }))).settled).toEqual(settled);
  });

  it.each(['null', '[1]', '"text"', '{"settled": {}}'])('is not %s', async (text) => {
    await expect(parseNote(text)).rejects.toThrow(/not from linewash/);
  });
});
