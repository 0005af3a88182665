import { existsSync } from 'node:fs';
import { converter } from 'culori';
import { describe, expect, it } from 'vitest';
import { closeMasters, openMasters } from '../../../lib/node/masters/masters.ts';
import { suggestFiles } from '../../../lib/node/suggest-files.ts';
import { balancedMatrix } from '../../../lib/recipe/settle/settle.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import { fieldOf, lookAt } from '../../../lib/recipe/suggest/coloured.ts';
import { LIMITS } from '../../../lib/recipe/suggest/limits.ts';
import { suggestMixes } from '../../../lib/recipe/suggest/suggest.ts';
import { parseRecipe } from '../../../lib/recipe/written/parse.ts';
import { plainRecipe } from '../../../lib/recipe/written/plain.ts';
import type { Recipe, WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { recipeText } from '../../../lib/recipe/written/serialize.ts';
import { pictureInMemory, renderPicture } from '../../../lib/render/picture.ts';
import { inTurn } from '../../cases.ts';
import { SAMPLES } from '../../cli/capture.ts';
import { invented } from './lines.ts';

const norm = (row: readonly number[]) => Math.sqrt(row.reduce((sum, w) => sum + w * w, 0));
const rms = (values: readonly number[]) => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

/** The noise of a recipe as its text says it: root mean square of the row norms after the balance. */
const noiseOfRecipe = async (written: WrittenRecipe) => rms(balancedMatrix(await plainRecipe(written)).map(norm));

const invalid = (recipe: WrittenRecipe) =>
  JSON.stringify(parseRecipe(recipeText(recipe))) !== JSON.stringify({ linewash: 2, ...recipe });

describe('suggestions', () => {
  const sample = invented(['S', 'H', 'O'], [0.03, 0.02, 0.05], [0.01, 0.01, 0.01]);
  const three = suggestMixes(sample);

  it('are up to six ordinary recipes with a knob, a name and a reason, the best plain order among them', async () => {
    expect(three.suggestions.length).toBeGreaterThanOrEqual(2);
    expect(three.suggestions.length).toBeLessThanOrEqual(6);
    expect(three.suggestions.map(({ id }) => id)).toContain('plain-order');
    expect(new Set(three.suggestions.map(({ id }) => id)).size).toBe(three.suggestions.length);
    for (const { recipe, why, id } of three.suggestions) {
      expect(invalid(recipe), id).toBe(false);
      expect(Object.keys(recipe.knobs ?? {})).toHaveLength(1);
      expect(recipe.name).not.toBe('');
      expect(recipe.about).toContain(why);
    }
  });

  it.skipIf(!inTurn('their text'))('say the noise that their text has, and keep to the limits', async () => {
    for (const { recipe, noise, skyChroma, outside } of three.suggestions) {
      expect(await noiseOfRecipe(recipe)).toBeCloseTo(noise, 6);
      expect(noise).toBeLessThanOrEqual(1.05 * LIMITS.norm);
      expect(outside).toBeLessThanOrEqual(LIMITS.outsideAfter + 1e-9);
      expect(skyChroma).toBeLessThanOrEqual(1.05 * fieldOf(sample).sky);
    }
  });

  it('say what they left out, and why', () => {
    for (const words of three.leftOut) expect(words).toMatch(/^[A-Z][^:]*: [a-z]/);
    expect(three.suggestions.length + three.leftOut.length).toBeGreaterThanOrEqual(7);
  });

  it.skipIf(!inTurn('lines grey'))('leave equal lines grey wherever the knob stands', async () => {
    for (const { recipe } of three.suggestions) {
      const [name, knob] = Object.entries(recipe.knobs!)[0]!;
      for (const value of [knob.min!, knob.max!]) {
        const { matrix } = await plainRecipe(recipe, { [name]: value });
        for (const row of matrix) expect(row.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 2);
      }
    }
  });

  it('keep lines further apart than any plain order does, where lines go together', () => {
    const orders = [
      [0, 1, 2],
      [0, 2, 1],
      [1, 0, 2],
      [1, 2, 0],
      [2, 0, 1],
      [2, 1, 0],
    ].map(
      (order) =>
        lookAt(
          order.map((line) => [0, 1, 2].map((c) => Number(c === line))),
          1,
          sample,
        ).apart,
    );
    expect(three.suggestions[0]!.apart).toBeGreaterThan(1.3 * Math.max(...orders));
    // Nothing that looks like another is offered beside it.
    for (const [i, { apart }] of three.suggestions.entries())
      expect(apart, three.suggestions[i]!.id).toBeGreaterThan(0);
  });

  it.skipIf(!inTurn('all noise'))('leave out a line that is all noise, and say so', () => {
    const { weak, suggestions } = suggestMixes(
      // The common part of an invented sample is signal in every line: S gets noise of the same size.
      { ...invented(['S', 'H', 'O'], [0.03, 0.02, 0.05], [0, 0, 0]), noise: [0.2, 0.01, 0.01] },
    );
    expect(weak).toEqual(['S']);
    expect(suggestions.length).toBeGreaterThanOrEqual(1);
    for (const { recipe, why } of suggestions) {
      expect(recipe.channels).toEqual(['H', 'O']);
      expect(why).toMatch(/S holds almost no signal/);
    }
  });

  it.skipIf(!inTurn('two lines'))('work for two lines and for five', () => {
    const two = suggestMixes(invented(['O', 'H'], [0.05, 0.03], [0.01, 0.01]));
    expect(two.suggestions.length).toBeGreaterThanOrEqual(2);
    for (const { recipe } of two.suggestions) expect(recipe.channels).toEqual(['H', 'O']);
    const names = ['S', 'N', 'H', 'O', 'Hb'];
    const five = suggestMixes(invented(names, [0.03, 0.02, 0.05, 0.06, 0.02], [0.01, 0.02, 0.01, 0.01, 0.02]));
    // The three with most signal for their noise.
    expect(five.suggestions[0]!.recipe.channels).toHaveLength(3);
    expect(five.plain.channels).toHaveLength(3);
    for (const { recipe } of five.suggestions) expect(invalid(recipe)).toBe(false);
  });

  it('refuse where one line alone holds signal, and where lines are flat', () => {
    const sample = invented(['H', 'O'], [0.05, 0.03], [0, 0]);
    expect(() => suggestMixes({ ...sample, noise: [0.01, 1] })).toThrow(/only H holds more than noise/);
    const flat = {
      ...sample,
      values: sample.values.map(() => 0),
      covariance: [
        [0, 0],
        [0, 0],
      ],
      noise: [0, 0],
    };
    expect(() => suggestMixes(flat)).toThrow(/no line holds more than noise/);
  });

  it.skipIf(!inTurn('samples leave'))(
    'from the samples leave stars calm but for a plain order, and use little of what cannot be shown',
    {
      timeout: 60_000,
    },
    async () => {
      const { suggestions, weak } = await suggestFiles({ inputs: SAMPLES });
      expect(weak).toEqual([]);
      expect(suggestions.length).toBeGreaterThanOrEqual(2);
      for (const { id, outside, starsGreen } of suggestions) {
        expect(outside).toBeLessThanOrEqual(LIMITS.outsideAfter);
        if (id !== 'plain-order') expect(Math.abs(starsGreen!)).toBeLessThanOrEqual(LIMITS.green + 0.003);
      }
    },
  );
});

const M42 = '../shared/data/m42';
const INPUTS = {
  S: `${M42}/m42_sii_256_f32.fits`,
  H: `${M42}/m42_ha_256_f32.fits`,
  O: `${M42}/m42_oiii_256_f32.fits`,
};

/** Renders a recipe at full size with 16 bits. */
const render = async (recipe: Recipe): Promise<Uint16Array> => {
  const masters = await openMasters(INPUTS);
  try {
    const { settled } = await settleChannels(recipe, masters);
    const form = { width: 256, height: 256, sample: 'u16', bands: 3 } as const;
    const { writer, picture } = pictureInMemory(form);
    await renderPicture(masters, settled, form, writer);
    return picture.data as Uint16Array;
  } finally {
    await closeMasters(masters);
  }
};

const toOklab = converter('oklab');

/** Square root of the determinant of the covariance of OKLab a and b over pixels that are not saturated, by culori. */
const spreadOf = (pixels: Uint16Array): number => {
  const chromas: [number, number][] = [];
  for (let i = 0; i < pixels.length; i += 3) {
    const [r, g, b] = [pixels[i]!, pixels[i + 1]!, pixels[i + 2]!];
    if (Math.max(r, g, b) === 65535 || Math.max(r, g, b) === 0) continue;
    const lab = toOklab({ mode: 'rgb', r: r / 65535, g: g / 65535, b: b / 65535 });
    chromas.push([Number(lab.a), Number(lab.b)]);
  }
  expect(chromas.length).toBeGreaterThan(60_000);
  const mean = [0, 1].map((k) => chromas.reduce((sum, c) => sum + c[k]!, 0) / chromas.length);
  const cov = (i: number, j: number) =>
    chromas.reduce((sum, c) => sum + (c[i]! - mean[i]!) * (c[j]! - mean[j]!), 0) / chromas.length;
  return Math.sqrt(cov(0, 0) * cov(1, 1) - cov(0, 1) ** 2);
};

describe.skipIf(!existsSync(M42))('real masters of three lines', () => {
  it.skipIf(!inTurn('by more'))(
    'come apart by more than plain orders show, and by as much as is said, as rendered',
    {
      timeout: 60_000,
    },
    async () => {
      const { suggestions } = await suggestFiles({ inputs: INPUTS });
      const identity = [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ];
      const plain = spreadOf(await render({ channels: ['S', 'H', 'O'], matrix: identity }));
      const gains: number[] = [];
      for (const { recipe } of suggestions) gains.push(spreadOf(await render(await plainRecipe(recipe))) / plain);
      expect(suggestions[0]!.apart).toBeGreaterThanOrEqual(0.09);
      expect(Math.max(...gains)).toBeGreaterThan(3);
      // What was said of them holds for the whole picture, stars and all.
      for (const [i, { gain }] of suggestions.entries()) expect(gains[i]! / gain).toBeCloseTo(1, 0);
    },
  );
});
