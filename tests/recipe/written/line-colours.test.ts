import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SPACES } from '../../../lib/colour/spaces.ts';
import { balancedMatrix } from '../../../lib/recipe/settle/settle.ts';
import { asLines } from '../../../lib/recipe/written/line-colours.ts';
import { checkedRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { Recipe, WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { expectClose } from '../../colour/close.ts';
import golden from '../../golden/colour/lines.json' with { type: 'json' };
import { lineRecipe, plainRow } from './arbitrary.ts';

const matrixOf = async (recipe: WrittenRecipe) => (await plainRecipe(recipe)).matrix;

describe('a recipe by the colours of its lines', () => {
  it('has the display values of each colour as its column', async () => {
    const lines = { S: '#ff8000', H: 'rgb(0 255 51)', O: 'color(srgb 0.25 -0.1 1.2)' };
    expectClose((await matrixOf({ lines })).flat(), [1, 0, 0.25, 128 / 255, 1, -0.1, 0, 51 / 255, 1.2], 1e-12);
  });

  it('has the light of each colour as its column where light is mixed', async () => {
    const lines = { S: '#ff8000', O: 'white' };
    const half = SPACES.srgb.decode(128 / 255);
    expectClose((await matrixOf({ lines, mixIn: 'light' })).flat(), [1, 1, half, 1, 0, 1], 1e-12);
  });

  it('has the same colours in another space, by other numbers', async () => {
    const lines = { H: 'color(display-p3 1 0 0)' };
    expectClose((await matrixOf({ lines, space: 'display-p3' })).flat(), [1, 0, 0], 1e-9);
    const narrow = (await matrixOf({ lines })).flat();
    expect(narrow[0]).toBeGreaterThan(1);
    expect(narrow[1]).toBeLessThan(0);
  });

  it.each(golden.lines)('gives $nm nm the colour of that light for the CIE 1931 observer', async ({ nm, srgb, p3 }) => {
    const recipe: WrittenRecipe = { lines: { L: { wavelength: nm } }, mixIn: 'light' };
    expectClose((await matrixOf(recipe)).flat(), srgb, 2e-3);
    expectClose((await matrixOf({ ...recipe, space: 'display-p3' })).flat(), p3, 2e-3);
    expectClose((await matrixOf({ ...recipe, mixIn: 'display' })).flat(), srgb.map(SPACES.srgb.encode), 2e-3);
  });

  it('is balanced after it is solved', async () => {
    const recipe = await plainRecipe({ lines: { S: 'red', H: '#ff8000', O: 'blue' }, balance: 'peak' });
    expectClose(balancedMatrix(recipe)[0]!, [0.5, 0.5, 0], 1e-12);
  });

  it('goes to rows and back for any weights, within the six decimals of its colours', () =>
    fc.assert(
      fc.asyncProperty(plainRow, async (recipe) => {
        const written = asLines(recipe as unknown as Recipe);
        expect('matrix' in written).toBe(false);
        expect(() => checkedRecipe(written)).not.toThrow();
        const back = await plainRecipe(written);
        const { matrix: _, ...rest } = back;
        const { matrix, ...same } = recipe;
        expect(rest).toEqual(same);
        if (recipe.mixIn !== 'light') expectClose(back.matrix.flat(), matrix.flat(), 1e-6);
        else {
          // Colours are written as display values: what is left is the slope of the curve there.
          const { encode } = SPACES[recipe.space ?? 'srgb'];
          expectClose(back.matrix.flat().map(encode), matrix.flat().map(encode), 1e-6);
        }
      }),
      { numRuns: 300 },
    ));

  it('goes to rows and back for any colours', () =>
    fc.assert(
      fc.asyncProperty(lineRecipe, async (recipe) => {
        const plain = await plainRecipe(recipe);
        const again = await plainRecipe(asLines(plain));
        const encode = recipe.mixIn === 'light' ? SPACES[recipe.space ?? 'srgb'].encode : (v: number) => v;
        expectClose(again.matrix.flat().map(encode), plain.matrix.flat().map(encode), 1e-6);
      }),
      { numRuns: 300 },
    ));
});
