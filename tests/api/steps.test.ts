import { describe, expect, it } from 'vitest';
import {
  catalogueRecipe,
  closeMasters,
  hoursFiles,
  type Master,
  openMasters,
  settleChannels,
} from '../../lib/node/index.ts';
import {
  adviseHours,
  measureChannels,
  monteCarlo,
  preparedChannels,
  settle,
  settledRecipe,
  suggestMixes,
  surveyChannels,
} from '../../lib/node/parts/index.ts';

const inputs = { H: 'samples/masters/emberwing-H.fits', O: 'samples/masters/emberwing-O.fits' };
const recipe = catalogueRecipe('hoo')!;

const withMasters = async (work: (masters: readonly Master[]) => Promise<void>): Promise<void> => {
  const masters = await openMasters(inputs);
  try {
    await work(masters);
  } finally {
    await closeMasters(masters);
  }
};

// What one function gives must pass the look that the next takes at its arguments.
describe('the parts, one after the other', () => {
  it('give the hours that the verb gives', () =>
    withMasters(async (masters) => {
      const { settled, measured } = await settleChannels(recipe, masters);
      const prepared = preparedChannels(settled, masters);
      const { ledger, surveys, exposures } = await surveyChannels(settled, measured, prepared);
      const found = await hoursFiles({ recipe, inputs, more: 5, draws: 100, lines: { 'O III': { cap: 6 } } });
      const wish = { goal: 'luminance', more: 5, lines: { O: { cap: 6 } } } as const;
      expect(ledger).toEqual(found.ledger);
      expect(adviseHours(ledger, surveys, exposures, wish)).toEqual(found.advice);
      expect(monteCarlo(settled, ledger.background, 100)).toEqual(found.monteCarlo!.background);
      expect(found.advice!.allocation!.shares[1]!.added).toBeLessThanOrEqual(1);
    }));

  it('settle a recipe with numbers only as settleChannels does, and as it settles itself', () =>
    withMasters(async (masters) => {
      const { settled, measured } = await settleChannels(recipe, masters);
      expect(settle(recipe as never, await measureChannels(masters)).settled).toEqual(settled);
      const again = await settleChannels(settledRecipe(settled, recipe as never), masters);
      expect(again.settled.channels.map(({ black }) => black)).toEqual(settled.channels.map(({ black }) => black));
      expect(measured).toHaveLength(2);
    }));

  it('take recipes with expressions and knobs', () =>
    withMasters(async (masters) => {
      const knobbed = { channels: ['H', 'O'], knobs: { k: { value: 0.25, min: 0, max: 1 } } };
      const matrix = (share: number | string) => [
        [1, 0],
        [share, typeof share === 'string' ? '1 - k' : 1 - share],
        [0, 1],
      ];
      const written = await settleChannels({ ...knobbed, matrix: matrix('k') }, masters);
      const plain = await settleChannels({ channels: ['H', 'O'], matrix: matrix(0.25) }, masters);
      expect(written.settled).toEqual(plain.settled);
    }));

  it('refuse a sample of lines whose numbers are of other lines', () => {
    const one = {
      names: ['H'],
      noise: [1],
      mean: [1],
      covariance: [[1]],
      values: new Float64Array(2),
      skyNoise: [1],
      stars: new Float64Array(0),
    };
    expect(() => suggestMixes({ ...one, noise: [1, 2] })).toThrow(/not those of 1 lines/);
  });
});
