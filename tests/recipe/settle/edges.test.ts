import { describe, expect, it } from 'vitest';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { statesAllNumbers, withoutMeasuring } from '../../../lib/recipe/settle/complete.ts';
import { loadRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { Recipe, WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { faultsOf } from '../written/fault.ts';

const MATRIX = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
const withMatrix = (part: object): string => JSON.stringify({ matrix: MATRIX, ...part });
const first = (weight: string): string => JSON.stringify({ matrix: [[weight, 0, 0], MATRIX[1], MATRIX[2]] });
const points = (...list: number[][]) => withMatrix({ stretch: { '*': { curve: 'points', points: list } } });
const knob = (part: object) => JSON.stringify({ matrix: [['k', 0, 0], MATRIX[1], MATRIX[2]], knobs: { k: part } });
const bias = (a: number) => withMatrix({ stretch: { '*': { curve: 'bias', a } } });
const objects = (count: number) => withMatrix({ 'x-many': Array(count).fill({ a: [] }) });

describe('a recipe just within the limits', () => {
  it.each<[string, string]>([
    ['a curve that stays level', points([0.2, 0.5], [0.4, 0.5], [0.6, 0.9])],
    ['a knob at its least', knob({ value: -1, min: -1, max: 2 })],
    ['a knob at its most', knob({ value: 2, min: -1, max: 2 })],
    ['the largest weight', first('500 * 2')],
    ['the smallest weight', first('-500 * 2')],
    ['many objects beside each other', objects(60)],
  ])('is taken: %s', async (_, text) => {
    expect(await loadRecipe(text)).toHaveProperty('matrix');
  });

  it.each<[string, string, string, RegExp]>([
    ['a curve that falls', points([0.2, 0.5], [0.4, 0.4]), '$.stretch', /./],
    ['a curve that goes back', points([0.2, 0.5], [0.1, 0.6]), '$.stretch', /./],
    ['a curve that stands', points([0.2, 0.5], [0.2, 0.6]), '$.stretch', /./],
    ['a knob below its least', knob({ value: -1.5, min: -1, max: 2 }), '$.knobs.k', /takes -1 to 2/],
    ['a knob above its most', knob({ value: 2.5, min: -1, max: 2 }), '$.knobs.k', /takes -1 to 2/],
    ['a weight too large', first('500 * 2.01'), '$.matrix[0][0]', /not within -1000 to 1000/],
    ['a weight too small', first('-500 * 2.01'), '$.matrix[0][0]', /not within -1000 to 1000/],
    ['a plain number as text too large', first('1001'), '$.matrix[0][0]', /not within -1000 to 1000/],
    ['bias below its range', bias(-0.5), '$.stretch', /./],
    ['bias above its range', bias(1.5), '$.stretch', /./],
    ['no JSON', '{"matrix" [1]}', '$', /^not valid JSON: [a-z ]+$/],
  ])('is refused: %s', async (_, text, path, message) => {
    const faults = await faultsOf(() => loadRecipe(text));
    expect(faults[0]!.path.startsWith(path)).toBe(true);
    expect(faults[0]!.message).toMatch(message);
  });
});

describe('a plain recipe', () => {
  it('keeps the names of its channels, from wherever they come', async () => {
    const named: WrittenRecipe = {
      channels: ['A', 'B'],
      matrix: [
        ['1', 0],
        [0, '2/2'],
        [0, 1],
      ],
    };
    expect((await plainRecipe(named)).channels).toEqual(['A', 'B']);
    expect((await plainRecipe({ lines: { A: 'red', B: 'blue' } })).channels).toEqual(['A', 'B']);
    expect(await plainRecipe({ matrix: MATRIX })).not.toHaveProperty('channels');
  });

  it('has a lightness only where one is written', async () => {
    expect(await plainRecipe({ matrix: MATRIX })).not.toHaveProperty('lightness');
    expect((await plainRecipe({ matrix: MATRIX, lightness: 'H' })).lightness).toBe('H');
    expect((await plainRecipe({ matrix: MATRIX, lightness: null })).lightness).toBeNull();
  });
});

describe('what needs no measuring', () => {
  const source = planeSource('h.fits', { width: 2, height: 1, data: Float32Array.of(1, 2) });

  it('is told from the header, and as not known besides', () => {
    const [measured, ...others] = withoutMeasuring([{ name: 'H', source }]);
    expect(others).toEqual([]);
    expect(measured).toMatchObject({ name: 'H', file: 'h.fits', width: 2, height: 1, type: source.type });
    expect(measured).toMatchObject({ flat: false, stretched: false, percentiles: {} });
    for (const key of [
      'min',
      'max',
      'median',
      'madSpread',
      'level',
      'spread',
      'counted',
      'undefined',
      'saturated',
    ] as const)
      expect(measured![key]).toBeNaN();
  });

  const recipe = (part: Partial<Recipe>): Recipe => ({
    channels: ['H'],
    matrix: [[1], [1], [1]],
    background: { model: 'none' },
    levels: { '*': { black: 0, white: 1 } },
    stretch: { H: { curve: 'linear' } },
    ...part,
  });

  it.each<[Partial<Recipe>, boolean]>([
    [{}, true],
    [{ levels: { '*': { black: 0, white: { percentile: 99 } } } }, false],
    [{ levels: { '*': { black: { noise: -3 }, white: 1 } } }, false],
    [{ levels: { '*': { black: { noise: -3 }, white: { percentile: 99 } } } }, false],
    [{ levels: { '*': { black: 1, white: 1 } } }, false],
    [{ background: { model: 'level' } }, false],
    [{ background: {} }, false],
    [{ background: { at: { '*': 5 } } }, true],
    [{ mixIn: 'light' }, false],
    [{ mixIn: 'light', stretch: { '*': { curve: 'linear' } } }, true],
  ])('%j: %s', (part, whole) => {
    expect(statesAllNumbers(recipe(part))).toBe(whole);
  });
});
