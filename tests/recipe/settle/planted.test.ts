import { describe, expect, it } from 'vitest';
import { loadRecipe } from '../../../lib/recipe/written/parse.ts';
import { RECIPE_VERSION } from '../../../lib/recipe/written/schema.ts';
import { inTurn } from '../../cases.ts';
import { seededRandom } from '../../fuzz/mutate.ts';
import { faultsOf } from '../written/fault.ts';

type Json = Record<string, unknown>;

/** A recipe in order that says nearly all that one can say. */
const whole = (): Json => ({
  linewash: 1,
  name: 'all',
  about: 'words',
  channels: ['S', 'H', 'O'],
  knobs: { share: { value: 0.25 }, most: { value: 2, min: 1, max: 3 }, rest: { value: 0.5 } },
  matrix: [
    ['share', 1, 0.5],
    [0.5, 'rest', 1],
    ['most / 4', 0, 1],
  ],
  balance: 'rows',
  white: { H: 0.5, '*': 1 },
  space: 'srgb',
  mixIn: 'display',
  background: {
    model: 'surface',
    order: 2,
    include: [
      [0, 0, 10, 10],
      [5, 5, 9, 9],
    ],
    coefficients: { H: [1, 2, 3, 4, 5, 6] },
  },
  scale: { mode: 'fit', to: 'H' },
  continuum: { H: { from: 'R', k: 0.5 }, O: { from: 'R' } },
  zeros: 'data',
  stars: { strength: 0.5, stretch: { curve: 'asinh', a: 0.1 } },
  levels: { H: { black: { noise: 3 }, white: { percentile: 99 } }, '*': { black: 2 } },
  stretch: {
    '*': {
      curve: 'points',
      points: [
        [0.1, 0.2],
        [0.5, 0.6],
        [0.7, 0.8],
      ],
    },
    O: { curve: 'asinh', a: 0.1 },
  },
  highlights: 'ratio',
  gamut: 'clip',
  lightness: ['rest', 0.5, 1],
  greenLimit: 0.5,
  greenMean: 'mean',
  'x-own': { any: ['thing'] },
});

/** Puts a value at a path, and says where the fault is to be found. */
type Plant = readonly [path: readonly (string | number)[], value: unknown, found?: string];

/** Faults of every kind: of schema, names, knobs, curves, levels, expressions and weights. One of each group at a time. */
const GROUPS: readonly (readonly Plant[])[] = [
  [
    [['name'], 7],
    [['name'], 'n'.repeat(121)],
    [['name'], null],
  ],
  [[['about'], ['a']]],
  [
    [['nmae'], 1],
    [['matrix2'], []],
  ],
  [[['foo'], { deep: [] }]],
  [
    [['channels', 0], 'S/S'],
    [['channels', 0], 3],
    [['channels', 0], 'h', '$.channels[1]'],
  ],
  [
    [['knobs', 'share', 'value'], 2],
    [['knobs', 'share', 'value'], 'x'],
    [['knobs', 'share', 'max'], 5000],
    [['knobs', 'share', 'valu'], 1],
  ],
  [
    [['knobs', 'most'], { value: 2, min: 3, max: 1 }],
    [['knobs', 'most', 'min'], null],
    [['knobs', 'most'], 5],
  ],
  [
    [['knobs', '1a'], { value: 1 }, "$.knobs['1a']"],
    [['knobs', 'max'], { value: 1 }],
  ],
  [
    [['matrix', 0, 1], null],
    [['matrix', 0, 1], '1 +'],
    [['matrix', 0, 1], '1 / 0'],
    [['matrix', 0, 1], 'shar'],
    [['matrix', 0, 1], 5000],
    [['matrix', 0, 1], ''],
  ],
  [
    [['matrix', 1, 2], '0,5'],
    [['matrix', 1, 2], '2 ^ 999'],
    [['matrix', 1], 'no row'],
    [
      ['matrix', 1],
      [1, 2, 3, 4],
    ],
    [
      ['matrix', 1],
      [0.5, -0.5, 0],
    ],
  ],
  [
    [['matrix', 2, 0], {}],
    [['matrix', 2, 0], 'config({})'],
    [
      ['matrix', 2],
      [0, 0, 0],
    ],
    [['matrix', 3], [1, 0, 0], '$.matrix'],
  ],
  [
    [['white', 'H'], 2],
    [['white', 'Q'], 1],
  ],
  [
    [['space'], 'srbg'],
    [['space'], null],
  ],
  [[['mixIn'], 'dark']],
  [
    [['background', 'order'], 9],
    [['background', 'modl'], 'none'],
  ],
  [
    [['background', 'include', 0, 2], 0],
    [['background', 'include', 1], 'x'],
  ],
  [
    [['background', 'at'], { Q: 1 }, '$.background.at.Q'],
    [['background', 'at'], { H: 'x' }, '$.background.at.H'],
  ],
  [
    [['scale', 'to'], 'Q'],
    [['scale'], 'both'],
    [['scale'], null],
  ],
  [
    [['continuum', 'H', 'from'], 'H'],
    [['continuum', 'H', 'k'], 'some'],
    [['continuum', 'Q'], { from: 'R' }],
  ],
  [[['continuum', 'O'], {}, '$.continuum.O.from']],
  [[['zeros'], 0]],
  [
    [['stars', 'strength'], 2],
    [['stars', 'strenght'], 1],
  ],
  [
    [['stars', 'stretch', 'a'], -1],
    [['stars', 'stretch', 'curve'], 'curl'],
  ],
  [
    [['levels', 'H', 'white'], { percentile: 10 }, '$.levels.H.white.percentile'],
    [['levels', 'H', 'white'], 'x'],
    [['levels', 'H', 'whit'], 1],
  ],
  [
    [['levels', 'Q'], { black: 1 }],
    [['levels', '..'], { black: 1 }, "$.levels['..']"],
  ],
  [
    [
      ['stretch', '*', 'points', 1],
      [0.05, 0.6],
    ],
    [['stretch', '*', 'points', 1, 0], 2],
    [['stretch', '*', 'points', 1], 7],
    [['stretch', '*', 'a'], 1],
  ],
  [
    [['stretch', 'O', 'curve'], 'asin'],
    [['stretch', 'O', 'a'], -1],
    [['stretch', 'O', 'points'], [[0.1, 0.2]]],
  ],
  [[['stretch', 'Q'], {}]],
  [[['highlights'], 'clop']],
  [[['gamut'], 1]],
  [
    [['lightness', 1], null],
    [['lightness', 1], '1 /'],
    [['lightness'], 'Q'],
    [['lightness'], [1]],
    [['lightness'], [0, 0, 0]],
  ],
  [
    [['greenLimit'], 1.5],
    [['greenLimit'], '1'],
  ],
  [[['greenMean'], 'median']],
];

const put = (recipe: Json, path: readonly (string | number)[], value: unknown): void => {
  let holder = recipe as Record<string | number, unknown>;
  for (const key of path.slice(0, -1)) holder = holder[key] as Record<string | number, unknown>;
  holder[path.at(-1)!] = value;
};

const pathText = (path: readonly (string | number)[]): string =>
  path.reduce<string>((text, key) => {
    if (typeof key === 'number') return `${text}[${key}]`;
    return /^\w+$/.test(key) && !/^\d/.test(key) ? `${text}.${key}` : `${text}['${key}']`;
  }, '$');

/** Draws `count` plants of different groups. */
const draw = (count: number, random: () => number): Plant[] => {
  const groups = [...GROUPS];
  return Array.from({ length: count }, () => {
    const [group] = groups.splice(Math.floor(random() * groups.length), 1);
    return group![Math.floor(random() * group!.length)]!;
  });
};

const check = async (plants: readonly Plant[]) => {
  const recipe = whole();
  for (const [path, value] of plants) put(recipe, path, value);
  const text = JSON.stringify(recipe, undefined, 1);
  const faults = await faultsOf(() => loadRecipe(text));
  const wanted = plants.map(([path, , found]) => found ?? pathText(path));
  const told = `${JSON.stringify(plants)} gave ${JSON.stringify(faults, undefined, 1)}`;
  expect(faults.map(({ path }) => path).toSorted(), told).toEqual(wanted.toSorted());
  for (const { line, column } of faults) expect([line! > 0, column! > 0]).toEqual([true, true]);
  // In the order of the text.
  const places = faults.map(({ line, column }) => line! * 1e4 + column!);
  expect(places).toEqual(places.toSorted((a, b) => a - b));
};

describe('faults planted in a recipe', () => {
  it('that is in order are none', async () => {
    expect(await loadRecipe(JSON.stringify(whole()))).toEqual({ ...whole(), linewash: RECIPE_VERSION });
  });

  it.each(GROUPS.flat().map((plant) => [JSON.stringify(plant).slice(0, 90), plant] as const))(
    'alone are found: %s',
    async (_, plant) => check([plant]),
  );

  it('are all found in one run, each once and nothing else, whatever else is wrong', async () => {
    for (let seed = 1; seed <= 300; seed++) {
      const random = seededRandom(seed);
      const count = 2 + Math.floor(random() * 14);
      await check(draw(count, random)).catch((cause) => {
        throw new Error(`seed ${seed}`, { cause });
      });
    }
  });

  it('are found beside keys that occur twice', async () => {
    const text = '{\n"matrix": [[1,0,null],[0,1,0],[0,0,1]],\n"gamut": "clip",\n"gamut": "clop",\n"__proto__": 1}';
    expect(await faultsOf(() => loadRecipe(text))).toMatchObject([
      { path: '$.matrix[0][2]', line: 2 },
      { path: '$.gamut', message: expect.stringContaining('clop'), line: 3 },
      { path: '$.gamut', message: expect.stringContaining('twice'), line: 4 },
      { path: '$.__proto__', message: expect.stringContaining('not allowed'), line: 5 },
    ]);
  });

  it.skipIf(!inTurn('endless number'))('in endless number are counted, and listed in no time', async () => {
    const keys = Array.from({ length: 60_000 }, (_, i) => `"k${i}":1`).join();
    const faults = await faultsOf(() => loadRecipe(`{"matrix":[[1,0,0],[0,1,0],[0,0,1]],${keys}}`));
    expect(faults).toHaveLength(501);
    expect(faults.at(-1)).toEqual({ path: '$', message: 'more faults were found than the 500 that are listed' });
    const twice = await faultsOf(() => loadRecipe(`{"matrix":[[1,0,0],[0,1,0],[0,0,1]]${',"a":1'.repeat(60_000)}}`));
    expect(twice).toHaveLength(501);
  });
});
