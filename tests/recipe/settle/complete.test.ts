import { describe, expect, it } from 'vitest';
import { statesAllNumbers } from '../../../lib/recipe/settle/complete.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';

const COMPLETE: Recipe = {
  channels: ['H', 'O'],
  matrix: [
    [1, 0],
    [0, 1],
    [0, 1],
  ],
  background: { model: 'level', at: { '*': 100 } },
  levels: { '*': { black: -10, white: 900 } },
  stretch: { '*': { curve: 'bias', a: 0.9 } },
};

describe('a recipe that states every number', () => {
  it.each<[string, Partial<Recipe>]>([
    ['as it is', {}],
    ['without a background', { background: { model: 'none' } }],
    ['with a level by line', { background: { at: { H: 1, O: 2 } } }],
    ['with a curve without parameter', { stretch: { '*': { curve: 'linear' } } }],
    ['with a curve through points', { stretch: { '*': { curve: 'points', points: [[0.5, 0.7]] } } }],
    ['with what a line does not use', { continuum: { S: { from: 'R' } } }],
  ])('needs no measuring: %s', (_, part) => {
    expect(statesAllNumbers({ ...COMPLETE, ...part })).toBe(true);
  });

  it.each<[string, Partial<Recipe>]>([
    ['no background at all', { background: undefined }],
    ['a level for one line only', { background: { model: 'level', at: { H: 1 } } }],
    ['a surface', { background: { model: 'surface', at: { '*': 1 } } }],
    ['a scale', { scale: 'noise' }],
    ['the least noise', { lightness: 'least-noise' }],
    ['a continuum', { continuum: { H: { from: 'R', k: 0.1 } } }],
    ['black by noise', { levels: { '*': { black: { noise: -3 }, white: 900 } } }],
    ['white by percentile', { levels: { '*': { black: 0, white: { percentile: 99 } } } }],
    // Samples are float32: white must lie above black there too.
    ['no room between black and white', { levels: { '*': { black: 1, white: 1 + 1e-12 } } }],
    ['a curve without its parameter', { stretch: { '*': { curve: 'bias' } } }],
    ['a curve for the other line only', { stretch: { H: { curve: 'bias', a: 0.9 } } }],
    [
      'in light, a curve that is not that of all',
      { mixIn: 'light', stretch: { H: { curve: 'linear' }, O: { curve: 'linear' } } },
    ],
  ])('else is measured: %s', (_, part) => {
    expect(statesAllNumbers({ ...COMPLETE, ...part })).toBe(false);
  });
});
