import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { channelsOf } from '../../../lib/recipe/written/facts-of.ts';
import { checkedRecipe, loadRecipe, parseRecipe } from '../../../lib/recipe/written/parse.ts';
import { recipeText } from '../../../lib/recipe/written/serialize.ts';
import { lineRecipe, plainRow, rowRecipe } from './arbitrary.ts';
import { faultsOf, SHO } from './fault.ts';

describe('a recipe', () => {
  it('may be a matrix and nothing else', () => {
    const recipe = parseRecipe('{"matrix": [[1,0,0],[0,1,0],[0,0,1]]}');
    expect(recipe).toEqual({ matrix: SHO });
    expect(channelsOf(recipe)).toEqual(['S', 'H', 'O']);
  });

  it('takes its channels from its line colours where it names none', () => {
    expect(channelsOf(parseRecipe('{"lines": {"H": "red", "O": "teal"}}'))).toEqual(['H', 'O']);
  });

  it('keeps keys that begin with x-, and those only at the top', async () => {
    const recipe = parseRecipe('{"matrix": [[1,0,0],[0,1,0],[0,0,1]], "x-seen": {"by": [1, null]}}');
    expect(recipe).toEqual({ matrix: SHO, 'x-seen': { by: [1, null] } });
    expect(parseRecipe(recipeText(recipe))).toEqual({ linewash: 2, ...recipe });
    const inner = '{"matrix": [[1,0,0],[0,1,0],[0,0,1]], "stretch": {"H": {"x-seen": 1}}}';
    expect(await faultsOf(() => parseRecipe(inner))).toMatchObject([{ path: "$.stretch.H['x-seen']" }]);
  });

  it('reads the full example of the format', async () => {
    const text = `{ "linewash": 2, "name": "Kiln", "about": "S warms the H without a green cast", "by": "",
      "licence": "CC0-1.0", "channels": ["S", "H", "O"],
      "knobs": { "share": { "value": 0.25, "min": 0, "max": 1, "about": "share of S in green" } },
      "matrix": [["0", "1", "0"], ["share", "0", "1 - share"], [0, 0, 1]],
      "balance": "rows", "space": "srgb", "mixIn": "display",
      "background": { "model": "level" }, "scale": "each",
      "stretch": { "*": { "curve": "bias", "background": 0.12 }, "O": { "curve": "bias", "background": 0.1 } },
      "lightness": null, "highlights": "ratio", "gamut": "chroma", "greenLimit": 0 }`;
    expect(await loadRecipe(text)).toEqual(JSON.parse(text));
  });

  it('in memory is checked like a text, whatever its prototype', async () => {
    expect(checkedRecipe({ matrix: SHO })).toEqual({ matrix: SHO });
    const hidden = JSON.parse('{"__proto__": {"matrix": [[1,0,0],[0,1,0],[0,0,1]]}}');
    expect((await faultsOf(() => checkedRecipe(hidden))).map(({ path }) => path)).toContain('$.__proto__');
    for (const value of [undefined, null, 3, 'sho', [], () => 1, Symbol('x')])
      expect(await faultsOf(() => checkedRecipe(value))).toHaveLength(1);
    expect(await faultsOf(() => checkedRecipe({ matrix: [[Number.NaN, 0, 0], SHO[1], SHO[2]] }))).toMatchObject([
      { path: '$.matrix[0][0]' },
    ]);
    expect(await faultsOf(() => checkedRecipe({ matrix: SHO, greenLimit: Number.POSITIVE_INFINITY }))).toHaveLength(1);
    expect(await faultsOf(() => checkedRecipe({ matrix: SHO, linewash: 1n }))).toHaveLength(1);
  });

  it('is unchanged by being written and read', () =>
    fc.assert(
      fc.asyncProperty(fc.oneof(rowRecipe, lineRecipe, plainRow), async (recipe) => {
        const text = recipeText(recipe);
        const again = await loadRecipe(text);
        expect(again).toEqual({ linewash: 2, ...JSON.parse(JSON.stringify(recipe)) });
        expect(recipeText(parseRecipe(recipeText(again)))).toBe(recipeText(again));
      }),
      { numRuns: 300 },
    ));

  it('is written with a matrix that reads as one', () => {
    const long = [0.123456789012, 0.123456789012, 0.123456789012];
    expect(recipeText({ matrix: SHO })).toBe('{\n  "linewash": 2,\n  "matrix": [[1, 0, 0], [0, 1, 0], [0, 0, 1]]\n}\n');
    expect(
      recipeText({ matrix: [long, long, long] })
        .split('\n')
        .slice(2, 7),
    ).toEqual([
      '  "matrix": [',
      '    [0.123456789012, 0.123456789012, 0.123456789012],',
      '    [0.123456789012, 0.123456789012, 0.123456789012],',
      '    [0.123456789012, 0.123456789012, 0.123456789012]',
      '  ]',
    ]);
  });
});
