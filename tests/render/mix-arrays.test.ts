import { describe, expect, it } from 'vitest';
import { mixArrays } from '../../lib/index.ts';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { withoutMeasuring } from '../../lib/recipe/settle/complete.ts';
import { settle } from '../../lib/recipe/settle/settle.ts';
import { parseRecipe } from '../../lib/recipe/written/parse.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';
import { randomNumbers } from '../parity/settled-cases.ts';

const SIZE = { width: 37, height: 11 };
const COUNT = SIZE.width * SIZE.height;

const drawn = (seed: number) => {
  const next = randomNumbers(seed);
  const channel = () => Float32Array.from({ length: COUNT }, () => (next() < 0.02 ? Number.NaN : 1.1 * next() - 0.05));
  return { S: channel(), H: channel(), O: channel() };
};

describe('mixing arrays', () => {
  it('is the sum of weights and values, clipped and rounded once', () => {
    const channels = drawn(1);
    const matrix = [
      [0.5, 0.3, 0],
      [0, 0.4, 0.6],
      [0.1, 0, 0.9],
    ];
    const { data, bands } = mixArrays(channels, { ...SIZE, sample: 'u16', alpha: true }, matrix);
    expect(bands).toBe(4);
    for (let i = 0; i < COUNT; i++) {
      const values = [channels.S[i]!, channels.H[i]!, channels.O[i]!];
      const defined = values.every(Number.isFinite);
      expect(data[4 * i + 3]).toBe(defined ? 65535 : 0);
      for (const [b, row] of matrix.entries()) {
        const sum = row.reduce((total, w, c) => total + w * Math.min(1, Math.max(0, values[c]!)), 0);
        const wanted = defined ? sum * 65535 : 0;
        expect(Math.abs(data[4 * i + b]! - wanted)).toBeLessThan(1.01);
      }
    }
  });

  it('takes a recipe by its colours alone, as the same numbers give them from masters', async () => {
    for (const [seed, change] of [
      {},
      { space: 'display-p3' },
      {
        gamut: 'chroma',
        matrix: [
          [1.4, -0.3, 0],
          [0, 1, 0.2],
          [-0.1, 0, 1.2],
        ],
        balance: 'as-written',
      },
      { mixIn: 'light', stretch: { '*': { curve: 'asinh', a: 0.05 } } },
      { greenLimit: 0.8 },
    ].entries()) {
      const recipe = { ...catalogueRecipe('ember'), ...change } as Recipe;
      const channels = drawn(10 + seed);
      const picture = mixArrays(channels, { ...SIZE, sample: 'f32' }, recipe);
      const sources = Object.entries(channels).map(([name, data]) => ({
        name,
        source: planeSource(name, { ...SIZE, data }),
      }));
      const stated: Recipe = {
        ...recipe,
        background: { model: 'none' },
        scale: 'each',
        levels: { '*': { black: 0, white: 1 } },
        ...(recipe.mixIn !== 'light' && { stretch: { '*': { curve: 'linear' } } }),
      };
      const { settled } = settle(stated, withoutMeasuring(sources), {});
      const { writer, picture: same } = pictureInMemory({ ...SIZE, sample: 'f32', bands: 3 });
      await renderPicture(sources, settled, { ...SIZE, sample: 'f32', bands: 3 }, writer);
      expect([...picture.data]).toEqual([...same.data]);
    }
  });

  it('says what is wrong with its arguments', () => {
    const { S, H, O } = drawn(3);
    const mix = (channels: unknown, form: unknown, recipe: unknown) => () =>
      mixArrays(channels as never, form as never, recipe as never);
    const matrix = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ];
    expect(mix({ S, H, O: O.subarray(1) }, SIZE, matrix)).toThrow(
      /channel O holds 406 values, 37 × 11 pixels need 407/,
    );
    expect(mix({ S, H }, SIZE, matrix)).toThrow(/3 weights for 2 channels/);
    expect(mix({ S, H, O }, { width: 37 }, matrix)).toThrow(/height/);
    expect(mix({ S, H, O }, SIZE, [[1], [2]])).toThrow(/mixArrays/);
    expect(mix({ S: [1, 2] }, SIZE, matrix)).toThrow(/Float32Array/);
    expect(mix({ S, H }, SIZE, catalogueRecipe('ember'))).toThrow(/uses O, which is not given/);
    const least = { ...catalogueRecipe('ember'), lightness: 'least-noise' };
    expect(mix({ S, H, O }, SIZE, least)).toThrow(/needs measured masters/);
    const texts = parseRecipe('{"linewash":2,"channels":["S"],"matrix":[["1/3"],[0],[1]]}');
    expect(mix({ S }, SIZE, texts)).toThrow(/weights or a finish that are no numbers/);
  });
});
