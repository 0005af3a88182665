import { describe, expect, it } from 'vitest';
import { checkSizes, measureChannels } from '../../lib/measure/measure.ts';
import { someValue } from '../../lib/measure/some-value.ts';
import { fillsRange } from '../../lib/measure/stretched.ts';
import { findUncovered } from '../../lib/measure/uncovered.ts';
import { countMarked, createMask, isMarked, mark } from '../../lib/plane/mask.ts';
import { hidePixels, planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';

const WIDTH = 30;
const HEIGHT = 20;
const SIZE = WIDTH * HEIGHT;
const sourceOf = (file: string, value: (i: number) => number, more: Partial<PlaneSource> = {}): PlaneSource => {
  const data = Float64Array.from({ length: SIZE }, (_, i) => value(i));
  return {
    ...planeSource(file, { width: WIDTH, height: HEIGHT, data: new Float32Array(0) }),
    async readRows(y, rows, into) {
      into.set(data.subarray(y * WIDTH, (y + rows) * WIDTH));
    },
    ...more,
  };
};
const measured = async (source: PlaneSource) => (await measureChannels([{ name: 'S', source }]))[0]!;

describe('channels together', () => {
  const hole = (from: number, to: number) => (i: number) => (i >= from && i < to ? Number.NaN : i);
  const s = sourceOf('s.fits', hole(0, 50));
  const h = sourceOf('h.fits', hole(40, 100));
  const o = sourceOf('o.fits', (i) => 1000 - i);
  const channels = [
    { name: 'S', source: s },
    { name: 'H', source: h },
    { name: 'O', source: o },
  ];

  it('are measured where every one of them has data, and say where they have none', async () => {
    const [S, H, O] = await measureChannels(channels);
    // Left are the values 100…599 in S and H, and 401…900 in O.
    for (const m of [S!, H!]) expect([m.min, m.median, m.max, m.counted]).toEqual([100, 349.5, 599, 500]);
    expect([O!.min, O!.median, O!.max, O!.counted]).toEqual([401, 650.5, 900, 500]);
    expect([S, H, O].map((m) => m!.undefined)).toEqual([50, 60, 0]);
  });

  it('share a mask of what any of them lacks, and none where nothing is lacking', async () => {
    const { mask, counts } = await findUncovered(channels, {});
    const marked = Array.from({ length: SIZE }, (_, i) => isMarked(mask!, i % WIDTH, Math.floor(i / WIDTH)));
    expect(marked).toEqual(Array.from({ length: SIZE }, (_, i) => i < 100));
    expect([...counts]).toEqual([
      ['S', 50],
      ['H', 60],
      ['O', 0],
    ]);
    expect((await findUncovered(channels.slice(2), {})).mask).toBeUndefined();
  });

  it('count pixels as lacking that are hidden, be it all of them or some', async () => {
    const wedge = createMask(WIDTH, HEIGHT);
    for (let y = 0; y < 5; y++) mark(wedge, 3, y);
    const raw = { bottomUp: false } as NonNullable<PlaneSource['raw']>;
    for (const [inner, count] of [
      [o, 5],
      [s, 50 + 5 - 2],
    ] as const) {
      // Two of the five, (3, 0) and (3, 1), are among the first fifty of S.
      const { mask, counts } = await findUncovered([{ name: 'X', source: hidePixels({ ...inner, raw }, wedge) }], {});
      expect(countMarked(mask!)).toBe(count);
      expect(counts.get('X')).toBe(count);
      expect(isMarked(mask!, 3, 4)).toBe(true);
    }
  });

  it('carry what their files say', async () => {
    const facts = { filter: 'S II', hours: 4.5, from: {}, cards: [] };
    const [m] = await measureChannels([{ name: 'S', source: sourceOf('s.fits', (i) => i, { facts, type: 'u16' }) }]);
    expect(m).toMatchObject({
      name: 'S',
      file: 's.fits',
      width: 30,
      height: 20,
      type: 'u16',
      filter: 'S II',
      hours: 4.5,
    });
    expect(await measured(o)).toMatchObject({ filter: undefined, hours: undefined });
  });

  it('give further percentiles where they are asked for', async () => {
    const [m] = await measureChannels(channels.slice(2), { percentiles: [10, 97.5] });
    // 600 values 401…1000: rank 599 · p/100.
    expect(m!.percentiles['10']).toBeCloseTo(401 + 59.9, 9);
    expect(m!.percentiles['97.5']).toBeCloseTo(401 + 584.025, 9);
    expect(m!.percentiles['50']).toBe(700.5);
  });

  it('tell how far they are, from nothing to all', async () => {
    const told: number[] = [];
    await measureChannels(channels, { progress: (done) => told.push(done) });
    expect(told.length).toBeGreaterThan(6);
    expect(told).toEqual(told.toSorted((a, b) => a - b));
    expect(told.at(-1)).toBe(1);
  });

  it('can be stopped', async () => {
    const fresh = [{ name: 'S', source: sourceOf('s.fits', (i) => i) }];
    const options = { signal: AbortSignal.abort() };
    await expect(measureChannels(fresh, options)).rejects.toMatchObject({ tag: 'cancelled' });
    // Nothing is remembered of it.
    expect((await measureChannels(fresh))[0]!.counted).toBe(SIZE);
  });

  it('are refused where they have no pixel in common', async () => {
    const rest = sourceOf('rest.fits', (i) => (i < 50 ? i : Number.NaN));
    const both = measureChannels([channels[0]!, { name: 'H', source: rest }]);
    await expect(both).rejects.toMatchObject({ tag: 'input', file: 's.fits' });
  });

  it.each([
    [31, 20],
    [30, 21],
  ])('are refused where one is %d × %d', async (width, height) => {
    const other = { name: 'H', source: { ...sourceOf('h.fits', (i) => i), width, height } };
    expect(() => checkSizes([channels[0]!, channels[2]!, other])).toThrow(/h\.fits.*s\.fits/);
    await expect(measureChannels([channels[0]!, other])).rejects.toMatchObject({ tag: 'input' });
  });

  it('may be of one size, or only one, or none', () => {
    for (const some of [channels, channels.slice(1, 2), []]) expect(() => checkSizes(some)).not.toThrow();
  });
});

describe('the top of the range', () => {
  const topped = (pixels: number, top: number) => (i: number) => (i < pixels ? top : i / 1000);
  it.each([
    ['floats, three of them or more', 3, 1, undefined, 3],
    ['floats, two of them', 2, 1, undefined, 0],
    ['whole numbers at full scale, even one', 1, 65535, 65535, 1],
    ['whole numbers below it', 9, 65534, 65535, 0],
  ])('is reached by %s', async (_, pixels, top, fullScale, saturated) => {
    expect((await measured(sourceOf('s.fits', topped(pixels, top), { fullScale }))).saturated).toBe(saturated);
  });

  it('is not said to be reached where all is one value', async () => {
    const m = await measured(sourceOf('s.fits', () => 65535, { type: 'u16', fullScale: 65535 }));
    expect([m.saturated, m.flat, m.spread]).toEqual([0, true, 0]);
    expect((await measured(sourceOf('s.fits', (i) => i))).flat).toBe(false);
  });
});

describe('stretched masters', () => {
  const spread = (low: number, high: number) => (i: number) => low + ((high - low) * i) / SIZE;
  it.each([
    ['floats to 1 that fill it', spread(0.1, 0.9), {}, true],
    ['floats with a dark median', (i: number) => (i / SIZE) ** 8, {}, false],
    ['a narrow peak high up', spread(0.5, 0.6), {}, false],
    ['floats in units of their own', spread(100, 900), {}, false],
    ['16 bits that fill them', spread(10_000, 60_000), { type: 'u16', fullScale: 65535 }, true],
    ['16 bits on a pedestal', spread(30_000, 31_000), { type: 'u16', fullScale: 65535 }, false],
    ['32 bits that fill them', spread(5e8, 4e9), { type: 'u32', fullScale: 2 ** 32 - 1 }, true],
    ['32 bits on a pedestal', spread(3e9, 3.1e9), { type: 'u32', fullScale: 2 ** 32 - 1 }, false],
  ] as const)('are told by median and spread: %s', async (_, value, more, stretched) => {
    expect((await measured(sourceOf('s.fits', value, more))).stretched).toBe(stretched);
  });

  it('have both: a bright median and a wide spread', () => {
    const of = (median: number, low: number, high: number) =>
      fillsRange({ fullScale: 1000, max: 1000, median, percentiles: { 1: low, 99: high } });
    expect([of(51, 0, 301), of(50, 0, 301), of(51, 0, 300)]).toEqual([true, false, false]);
  });
});

describe('wide types', () => {
  it('are measured about a value of their own, and given back whole', async () => {
    const m = await measured(sourceOf('s.fits', (i) => 3e9 + i, { type: 'u32', fullScale: 2 ** 32 - 1 }));
    expect([m.min, m.median, m.max]).toEqual([3e9, 3e9 + 299.5, 3e9 + 599]);
    // The middle of 600 deviations from 299.5 is 150; 0…599 have the variance (600² − 1)/12.
    expect(m.madSpread).toBeCloseTo(150 * 1.482602218505602, 9);
    expect(m.level).toBe(3e9 + 299.5);
    expect(m.spread).toBeCloseTo(Math.sqrt((600 ** 2 - 1) / 12), 6);
    expect(m.percentiles['25']).toBeCloseTo(3e9 + 149.75, 5);
  });
});

describe('some value of a picture', () => {
  it('is the first from the middle row on that counts', async () => {
    const source = sourceOf('s.fits', (i) => i);
    expect(await someValue(source, undefined)).toBe(10 * WIDTH);
    const mask = createMask(WIDTH, HEIGHT);
    for (const x of [0, 1]) mark(mask, x, 10);
    expect(await someValue(source, mask)).toBe(10 * WIDTH + 2);
  });

  it('is one from above where there is none below, and 0 where there is none', async () => {
    expect(
      await someValue(
        sourceOf('s.fits', (i) => (i === 77 ? 5 : Number.POSITIVE_INFINITY)),
        undefined,
      ),
    ).toBe(5);
    expect(
      await someValue(
        sourceOf('s.fits', () => Number.NaN),
        undefined,
      ),
    ).toBe(0);
  });
});
