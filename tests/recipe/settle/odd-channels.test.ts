import { describe, expect, it } from 'vitest';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { preparedChannels } from '../../../lib/recipe/settle/prepared.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../../../lib/render/picture.ts';
import { drawStack, sceneTruth } from '../../../samples/scene/index.ts';

const size = { width: 180, height: 120 };
const count = size.width * size.height;
const truth = sceneTruth({ ...size, coverage: false });
const good = drawStack(truth.H, 1);

/** Channels as they should not be, and what is to be said of them; undefined where nothing need be. */
const ODD: Record<string, { data: Float32Array; says?: RegExp; refused?: RegExp }> = {
  flat: { data: new Float32Array(count).fill(700), says: /H .*has one value everywhere, 700/ },
  'flat zero': { data: new Float32Array(count), says: /H .*has one value everywhere, 0/ },
  'all undefined': { data: new Float32Array(count).fill(Number.NaN), refused: /no pixel has data/ },
  infinite: {
    data: new Float32Array(count).fill(Number.POSITIVE_INFINITY),
    refused: /no pixel has data/,
  },
  'half undefined': { data: good.map((v, i) => (i % 180 < 90 ? Number.NaN : v)) },
  'mostly one value': { data: good.map((v, i) => (i % 5 === 0 ? v : 1000)) },
  'two values': { data: good.map((_, i) => (i % 3 === 0 ? 1 : 0)) },
  'two values, one rare': { data: good.map((_, i) => (i === 7 ? 1 : 0)) },
  tiny: { data: good.map((v) => v * 1e-17) },
  denormal: { data: good.map((v) => v * 1e-43) },
  huge: { data: good.map((v) => v * 1e30) },
  negative: { data: good.map((v) => v - 5000) },
  'one pixel': { data: good.map((_, i) => (i === 9000 ? 3 : Number.NaN)), says: /has one value everywhere/ },
};

const MATRIX = [
  [0, 1, 0],
  [1, 0, 0],
  [0, 0, 1],
];
const RECIPES: Record<string, Omit<Recipe, 'matrix'>> = {
  plain: {},
  'dark blocks': { background: { from: 'dark-blocks' } },
  surface: { background: { model: 'surface', order: 2 } },
  together: { scale: 'together' },
  fit: { scale: { mode: 'fit', to: 'O' } },
  noise: { scale: 'noise' },
  light: { mixIn: 'light' },
  'least noise': { lightness: 'least-noise' },
};

const outcome = async (data: Float32Array, recipe: Omit<Recipe, 'matrix'>) => {
  const channels = [
    { name: 'S', source: planeSource('S', { ...size, data: drawStack(truth.S, 1) }) },
    { name: 'H', source: planeSource('H', { ...size, data }) },
    { name: 'O', source: planeSource('O', { ...size, data: drawStack(truth.O, 1) }) },
  ];
  try {
    const { settled, warnings } = await settleChannels({ ...recipe, matrix: MATRIX }, channels);
    const { writer, picture } = pictureInMemory({ ...size, sample: 'f32', bands: 3 });
    await renderPicture(preparedChannels(settled, channels), settled, { ...size, sample: 'f32', bands: 3 }, writer);
    return { settled, warnings, picture: picture.data as Float32Array };
  } catch (cause) {
    if (!(cause instanceof LinewashError)) throw cause;
    return { refusal: cause };
  }
};

describe.each(Object.keys(RECIPES))('odd channels, recipe %s', (name) => {
  it.each(Object.keys(ODD))('%s', async (kind) => {
    const { data, says, refused } = ODD[kind]!;
    const result = await outcome(data, RECIPES[name]!);
    if ('refusal' in result) {
      const { tag, message, advice } = result.refusal!;
      expect(tag).toBe('input');
      expect(advice, message).toBeTruthy();
      // Only a fit may fail on data that others take, and it says what to do.
      if (refused) expect(message).toMatch(refused);
      else expect(message).toMatch(/no scale can be fitted|needs 12 blocks of sky|no pixel has data where/);
      return;
    }
    expect(refused).toBeUndefined();
    expect(JSON.stringify(result.settled)).not.toMatch(/null/);
    expect(result.picture.every((v) => v >= 0 && v <= 1)).toBe(true);
    if (kind !== 'one pixel') expect(result.picture.some((v) => v > 0.2)).toBe(true);
    if (says) expect(result.warnings.join('\n')).toMatch(says);
  });
});
