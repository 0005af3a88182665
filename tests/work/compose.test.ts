import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { settleStars } from '../../lib/recipe/settle/stars.ts';
import type { Recipe } from '../../lib/recipe/written/schema.ts';
import { smallBox } from '../../lib/render/small-box.ts';
import { compose } from '../../lib/work/compose.ts';
import { starsOf } from '../../lib/work/open-stars.ts';

const SIZE = { width: 8, height: 6 };
/** Each pixel is its own number; the first columns have no data. */
const plane = (file: string, empty = 0, size = SIZE): PlaneSource =>
  planeSource(file, {
    ...size,
    data: Float32Array.from({ length: size.width * size.height }, (_, i) => (i % size.width < empty ? Number.NaN : i)),
  });
const mixOf = (empty: number) => ({
  settled: { space: 'srgb' } as unknown as Settled,
  channels: [
    { name: 'H', source: plane('h') },
    { name: 'O', source: plane('o', empty) },
  ],
  warnings: ['one thing'],
});
const recipe: Recipe = {
  channels: ['H', 'O'],
  matrix: [
    [1, 0],
    [0, 1],
    [0, 1],
  ],
  stars: { strength: 0.3 },
};
const stars = starsOf(['red', 'green', 'blue'].map((file) => plane(file)));

describe('a composition', () => {
  it('is the mix as it is where nothing is asked for', async () => {
    const mix = mixOf(3);
    expect(await compose(mix, recipe, {})).toEqual({ ...mix, stars: undefined });
    expect(await compose(mix, recipe, { crop: false })).toEqual({ ...mix, stars: undefined });
  });

  it('is cropped to what all channels cover, where something is missing', async () => {
    const { settled, channels, warnings } = await compose(mixOf(3), recipe, { crop: true });
    const box = { x: 3, y: 0, width: 5, height: 6 };
    expect(settled).toEqual({ space: 'srgb', crop: box });
    const into = new Float32Array(10);
    for (const { source } of channels) {
      expect([source.width, source.height]).toEqual([5, 6]);
      await source.readRows(1, 2, into);
      expect([...into]).toEqual([11, 12, 13, 14, 15, 19, 20, 21, 22, 23]);
    }
    expect(warnings).toEqual(['one thing']);
    const whole = mixOf(0);
    expect(await compose(whole, recipe, { crop: true })).toEqual({ ...whole, stars: undefined });
  });

  it('says so where a crop leaves little, and refuses where it leaves nothing', async () => {
    const shape = (inside: (x: number, y: number) => boolean) => {
      const data = Float32Array.from({ length: 48 }, (_, i) => (inside(i % 8, Math.floor(i / 8)) ? i : Number.NaN));
      return { ...mixOf(0), channels: [{ name: 'H', source: planeSource('h', { ...SIZE, data }) }] };
    };
    // A row and a column that cross: 13 pixels, of which the crop keeps the 8 of the row.
    const cross = await compose(
      shape((x, y) => x === 4 || y === 3),
      recipe,
      { crop: true },
    );
    expect(cross.settled.crop).toEqual({ x: 0, y: 3, width: 8, height: 1 });
    expect(cross.warnings).toEqual(['one thing']);
    // The left, upper and right edge with two holes: 16 pixels, of which it keeps the 6 at the right.
    const scattered = await compose(
      shape((x, y) => (x === 0 || y === 0 || x === 7) && x + y !== 4),
      recipe,
      { crop: true },
    );
    expect(scattered.warnings).toHaveLength(2);
    await expect(
      compose(
        shape(() => false),
        recipe,
        { crop: true },
      ),
    ).rejects.toMatchObject({ tag: 'input' });
  });

  it('has stars settled as the recipe wishes, with what is to be said of their file', async () => {
    const odd = starsOf([{ ...stars.sources[0]!, warnings: ['is odd'] }, ...stars.sources.slice(1)]);
    const found = await compose(mixOf(0), recipe, { stars: odd });
    expect(found.settled).toEqual({ space: 'srgb', stars: await settleStars({ strength: 0.3 }, odd.sources) });
    expect(found.stars).toBe(odd.sources);
    expect(found.warnings).toEqual(['one thing', 'red: is odd']);
    const { stars: _, ...plain } = recipe;
    expect((await compose(mixOf(0), plain, { stars })).settled.stars!.strength).toBe(1);
  });

  it('has stars cropped with the mix, settled on all of them', async () => {
    const found = await compose(mixOf(3), recipe, { stars, crop: true });
    expect(found.settled).toMatchObject({
      crop: { x: 3, width: 5 },
      stars: await settleStars({ strength: 0.3 }, stars.sources),
    });
    expect(found.stars!.map(({ width, height }) => [width, height])).toEqual([
      [5, 6],
      [5, 6],
      [5, 6],
    ]);
  });

  it('refuses stars of another size', async () => {
    for (const size of [
      { width: 7, height: 6 },
      { width: 8, height: 5 },
    ])
      await expect(compose(mixOf(0), recipe, { stars: starsOf([plane('red', 0, size)]) })).rejects.toMatchObject({
        tag: 'input',
      });
  });
});

describe('a box on a small copy', () => {
  it('holds the small pixels that lie wholly in it', () => {
    const full = { width: 1000, height: 600 };
    const small = { width: 100, height: 60 };
    expect(smallBox({ x: 0, y: 0, ...full }, full, small)).toEqual({ x: 0, y: 0, ...small });
    // Columns 101 to 399: the small ones of ten from 110 to 390. Rows 50 to 100: five of ten.
    expect(smallBox({ x: 101, y: 50, width: 298, height: 50 }, full, small)).toEqual({
      x: 11,
      y: 5,
      width: 28,
      height: 5,
    });
  });

  it('is a pixel at least, inside the copy', () => {
    const [full, small] = [
      { width: 1000, height: 600 },
      { width: 10, height: 6 },
    ];
    expect(smallBox({ x: 310, y: 210, width: 20, height: 20 }, full, small)).toMatchObject({ width: 1, height: 1 });
    expect(smallBox({ x: 995, y: 595, width: 5, height: 5 }, full, small)).toEqual({ x: 9, y: 5, width: 1, height: 1 });
  });
});
