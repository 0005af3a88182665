import { describe, expect, it } from 'vitest';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { checkedRecipe } from '../../../lib/recipe/written/parse.ts';

const MATRIX = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

const faults = (part: object): string[] => {
  try {
    checkedRecipe({ matrix: MATRIX, ...part });
    return [];
  } catch (cause) {
    if (!(cause instanceof LinewashError)) throw cause;
    return cause.faults.map(({ path, message }) => `${path}: ${message}`);
  }
};

/** A recipe with a stated surface whose shade departs from a right one. */
const shaded = (shade: object) => ({
  background: {
    model: 'surface',
    surfaces: {
      S: {
        order: 1,
        coefficients: [0, 1, 2],
        shade: { left: -1, top: -1, right: 0, bottom: 0, columns: 2, rows: 2, values: [1, 2, 3, 4], ...shade },
      },
    },
  },
});

describe('what is done before the stretch, as recipes write it', () => {
  it.each([
    { background: { model: 'surface', order: 4, include: [[0, 0, 10, 10]], exclude: [], reject: 'both' } },
    { background: { from: [10, 20, 30, 40] } },
    { background: { from: 'dark-blocks', at: { S: 100 } } },
    {
      background: { model: 'surface', order: 1, coefficients: { '*': [0, 1, 2], R: [0, 0, 0] } },
      continuum: { H: { from: 'R' } },
    },
    { scale: 'noise' },
    { scale: { mode: 'fit' } },
    { scale: { mode: 'fit', to: 'O' } },
    { scale: { S: 2, O: 0.5 } },
    { continuum: { H: { from: 'R', k: 0.1 }, O: { from: 'S' } } },
    { stars: { strength: 0.5, levels: { black: { noise: -2 } }, stretch: { curve: 'bias', a: 0.8 } } },
  ])('takes %j', (part) => expect(faults(part)).toEqual([]));

  it.each([
    [{ background: { order: 3 } }, /\$\.background\.order: order belongs to "model": "surface"/],
    [{ background: { model: 'surface', order: 5 } }, /\$\.background\.order: expected an order from 1 to 4/],
    [{ background: { from: 'clipp' } }, /\$\.background\.from: found "clipp"; expected clip, dark-blocks or a box/],
    [{ background: { from: [1, 2, 3] } }, /\$\.background\.from.*box/],
    [
      { background: { model: 'surface', include: [[1, 2, 0, 4]] } },
      /\$\.background\.include\[0\]\[2\]: found 0; the smallest allowed is 1/,
    ],
    [{ background: { at: { X: 1 } } }, /\$\.background\.at\.X: there is no channel X/],
    [
      { background: { model: 'surface', order: 2, coefficients: { S: [0, 1, 2] } } },
      /\$\.background\.coefficients\.S: 3 coefficients; order 2 has 6/,
    ],
    [
      { background: { model: 'surface', coefficients: { S: [0, 1, 2, 3] } } },
      /\$\.background\.coefficients\.S: 4 coefficients; orders 1 to 4 have 3, 6, 10 and 15/,
    ],
    [
      { background: { model: 'surface', surfaces: { S: { order: 1, coefficients: [0, 1, 2, 3] } } } },
      /\$\.background\.surfaces\.S\.coefficients: 4 coefficients; order 1 has 3/,
    ],
    [
      { background: { model: 'surface', surfaces: { X: { order: 1, coefficients: [0, 1, 2] } } } },
      /\$\.background\.surfaces\.X: there is no channel X/,
    ],
    [shaded({ values: [1, 2, 3] }), /\$\.background\.surfaces\.S\.shade\.values: 3 values; 2 × 2 nodes have 4/],
    [shaded({ right: -1 }), /\$\.background\.surfaces\.S\.shade: left must be less than right/],
    [shaded({ columns: 1.5 }), /\$\.background\.surfaces\.S\.shade\.columns: found 1.5/],
    [{ background: { shadows: 'keep' } }, /\$\.background\.shadows: shadows belongs to "model": "surface"/],
    [{ scale: 'fitt' }, /\$\.scale: found "fitt"; allowed: each, together, fit/],
    [{ scale: { mode: 'fit', to: 'X' } }, /\$\.scale\.to: there is no channel X/],
    [{ scale: { X: 2 } }, /\$\.scale\.X: there is no channel X/],
    [{ scale: { S: -2 } }, /\$\.scale.*/],
    [{ continuum: { X: { from: 'R' } } }, /\$\.continuum\.X: there is no channel X/],
    [{ continuum: { H: { from: 'H' } } }, /\$\.continuum\.H\.from: a line cannot be subtracted from itself/],
    [
      { continuum: { H: { from: 'S' }, S: { from: 'R' } } },
      /\$\.continuum\.H\.from: S has a continuum subtracted itself/,
    ],
    [{ continuum: { H: { from: 'R', k: 'x' } } }, /\$\.continuum\.H\.k: expected a number or "fit"/],
    [{ stars: { strength: 2 } }, /\$\.stars\.strength: found 2; the largest allowed is 1/],
    [{ stars: { stretch: { curve: 'points' } } }, /\$\.stars\.stretch\.points: the curve points needs/],
    [{ stars: { stretch: { curve: 'bias', a: 7 } } }, /\$\.stars\.stretch\.a: found 7; bias takes/],
  ])('refuses %j', (part, message) => expect(faults(part).join('\n')).toMatch(message));
});
