import { describe, expect, it } from 'vitest';
import { surveyLine } from '../../lib/hours/survey.ts';
import { surveyChannels } from '../../lib/hours/survey-channels.ts';
import { preparedChannels } from '../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../lib/recipe/settle/settle-channels.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { type LineTruth, noiseOf, type PerLine, sceneTruth } from '../../samples/scene/index.ts';
import { mastersOf, SCENE } from './scene.ts';

const HSO: Recipe = {
  matrix: [
    [0, 1, 0],
    [1, 0, 0],
    [0, 0, 1],
  ],
};

const survey = async (truth: PerLine<LineTruth>, recipe: Recipe) => {
  const masters = mastersOf(truth, 3);
  const { settled, measured } = await settleChannels(recipe, masters);
  const found = await surveyChannels(settled, measured, preparedChannels(settled, masters), { time: { '*': 5, S: 7 } });
  return { settled, ...found };
};

describe('survey of channels', () => {
  it('says how far it is, in equal parts a line', async () => {
    const masters = mastersOf(sceneTruth({ ...SCENE, gradient: false, coverage: false }), 3);
    const { settled, measured } = await settleChannels(HSO, masters);
    const done: number[] = [];
    const half: typeof surveyLine = (name, source, level, options) => {
      options?.progress?.(0.5);
      return surveyLine(name, source, level, { ...options, progress: undefined });
    };
    await surveyChannels(settled, measured, masters, { progress: (part) => done.push(part) }, half);
    expect(done).toEqual([1, 3, 5].map((sixths) => expect.closeTo(sixths / 6, 12)));
  });

  it('takes gradients off before it looks', async () => {
    const truth = sceneTruth({ ...SCENE, coverage: false });
    const { settled, surveys, exposures, warnings } = await survey(truth, { ...HSO, background: { model: 'surface' } });
    expect(settled.channels.every(({ surface }) => surface !== undefined)).toBe(true);
    for (const [i, line] of (['S', 'H', 'O'] as const).entries()) {
      const { background } = surveys[i]!;
      expect(background.value).toBe(settled.channels[i]!.background);
      // The gradient's light is gone, its photon noise is not: cells of one level now differ in noise.
      expect(Math.abs(background.noise / noiseOf(background.value, truth[line].subs) - 1)).toBeLessThan(0.12);
    }
    expect(exposures.map(({ hours }) => hours)).toEqual([7, 5, 5]);
    expect(warnings).toEqual([]);
  });

  it('counts the noise of a continuum with its line, and says so', async () => {
    const truth = sceneTruth({ ...SCENE, gradient: false, coverage: false });
    const recipe: Recipe = { ...HSO, continuum: { O: { from: 'S', k: 2 } } };
    const { surveys, warnings } = await survey(truth, recipe);
    const [s, , o] = surveys;
    const alone = (await survey(truth, HSO)).surveys[2]!;
    const wanted = Math.hypot(alone.background.noise, 2 * s!.background.noise);
    expect(Math.abs(o!.background.noise / wanted - 1)).toBeLessThan(0.05);
    expect(warnings.join()).toMatch(/O: the noise of S, which is subtracted from it, is counted with it/);
  });

  it('says what it did about neighbours that go together', async () => {
    const truth = sceneTruth({ ...SCENE, gradient: false, coverage: false });
    const masters = mastersOf(truth, 3).map(({ name, source }) => ({
      name,
      source: {
        ...source,
        async readRows(y: number, rows: number, into: Float32Array | Float64Array) {
          await source.readRows(y, rows, into);
          // Every row becomes the mean of each pixel and its right neighbour: half a pixel's shift.
          for (let i = 0; i < rows * source.width - 1; i++) into[i] = (into[i]! + into[i + 1]!) / 2;
        },
      },
    }));
    const { settled, measured } = await settleChannels(HSO, masters);
    const { surveys, warnings } = await surveyChannels(settled, measured, masters);
    expect(surveys.every(({ texture }) => texture.correlated)).toBe(true);
    expect(warnings).toHaveLength(3);
    expect(warnings[0]).toMatch(/^S: neighbouring pixels go together/);
  });
});
