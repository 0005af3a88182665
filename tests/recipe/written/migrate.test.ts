import { describe, expect, it } from 'vitest';
import { type Migration, migrate, versionFault } from '../../../lib/recipe/written/migrate.ts';
import { checkedRecipe } from '../../../lib/recipe/written/parse.ts';
import { RECIPE_VERSION } from '../../../lib/recipe/written/schema.ts';
import { SHO } from './fault.ts';

/** A version 0 that never was: weights by line instead of by colour, under another key. */
const zeroToOne: Migration = ({ columns, ...rest }) => {
  if (!Array.isArray(columns) || !columns.every(Array.isArray)) return rest;
  return { ...rest, matrix: [0, 1, 2].map((r) => columns.map((column) => column[r])) };
};
const oneToTwo: Migration = (recipe) => ({ ...recipe, title: recipe.name });
const steps = new Map([
  [0, zeroToOne],
  [1, oneToTwo],
]);
const old = {
  linewash: 0,
  name: 'old',
  columns: [
    [1, 0, 0],
    [0, 0.5, 0.5],
    [0, 0, 1],
  ],
};

describe('a recipe of an older version', () => {
  it('is brought to the present one, step by step', () => {
    const recipe = migrate(old, steps, 1);
    expect(checkedRecipe(recipe)).toEqual({
      linewash: 2,
      name: 'old',
      gamut: 'chroma',
      matrix: [
        [1, 0, 0],
        [0, 0.5, 0],
        [0, 0.5, 1],
      ],
    });
    expect(migrate(old, steps, 2)).toMatchObject({ linewash: 2, title: 'old' });
    // What was read is left as it was.
    expect(old.columns).toHaveLength(3);
  });

  it('is left alone where it is of this version or names none', () => {
    const present = { linewash: 1, matrix: SHO };
    expect(migrate(present, steps, 1)).toBe(present);
    const silent = { matrix: SHO };
    expect(migrate(silent, steps, 1)).toBe(silent);
  });

  it('with nonsense in it is refused by the schema, not by the step', () => {
    expect(() => checkedRecipe(migrate({ linewash: 0, columns: 7 }, steps, 1))).toThrow(/matrix/);
  });

  it('is refused where a step is missing', () => {
    expect(versionFault(old, steps, 2)).toBeUndefined();
    expect(versionFault(old, new Map([[1, oneToTwo]]), 2)?.message).toMatch(/no version 0/);
    expect(versionFault({ linewash: -3 }, steps, 1)?.message).toMatch(/no version -3/);
  });
});

describe('a recipe of a newer version', () => {
  it('is refused, with what to do', () => {
    expect(versionFault({ linewash: RECIPE_VERSION + 1 })).toEqual({
      path: ['linewash'],
      message: 'this recipe is of version 3; this linewash reads version 2: update linewash',
    });
  });
});
