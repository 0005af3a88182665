import { describe, expect, it } from 'vitest';
import { createMask, mark } from '../../lib/plane/mask.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { measureBlocks } from '../../lib/prepare/background/blocks.ts';
import { pixelNoise } from '../../lib/prepare/background/pixel-noise.ts';
import { combined, combinedNoise, inverseVarianceWeights } from '../../lib/prepare/combine.ts';
import { matchMasters } from '../../lib/prepare/match.ts';
import { drawStack, sceneTruth } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import golden from '../golden/prepare/inverse-variance.json' with { type: 'json' };

const size = { width: 300, height: 200 };
const master = (file: string, data: Float32Array, filter?: string): PlaneSource => ({
  ...planeSource(file, { ...size, data }),
  facts: { from: {}, cards: [], ...(filter === undefined ? {} : { filter }) },
});
const scene = (hours: number, extra: object = {}) =>
  sceneTruth({ ...size, coverage: false, hours: { S: hours, H: hours, O: hours }, ...extra }).H;
const pixels = async (source: PlaneSource) => {
  const into = new Float32Array(source.width * source.height);
  await source.readRows(0, source.height, into);
  return into;
};

describe('weights by inverse variance', () => {
  it('give the published mean and its error', () => {
    const weights = inverseVarianceWeights(golden.s);
    expect(weights.reduce((sum, w, i) => sum + w * golden.x[i]!, 0)).toBeCloseTo(golden.mean, 12);
    expect(combinedNoise(golden.s, weights)).toBeCloseTo(golden.u, 12);
    expect(`${golden.mean.toFixed(2)} +- ${golden.u.toFixed(2)}`).toBe(golden.published);
  });
  it.each([0, Number.NaN, Number.POSITIVE_INFINITY])('are equal where a noise is unknown: %d', (sigma) =>
    expect(inverseVarianceWeights([sigma, 3])).toEqual([0.5, 0.5]),
  );
  it('sum to 1, and the noise does not depend on their sum', () => {
    // 1/1, 1/4: of the sum 1.25 these are 0.8 and 0.2.
    expect(inverseVarianceWeights([1, 2])).toEqual([expect.closeTo(0.8, 15), expect.closeTo(0.2, 15)]);
    // √(0.8² + 0.4²) = √0.8, as 1/√(1 + 1/4) is.
    for (const weights of [
      [0.8, 0.2],
      [8, 2],
    ])
      expect(combinedNoise([1, 2], weights)).toBeCloseTo(Math.sqrt(0.8), 15);
  });
});

describe('a combination', () => {
  const part = (source: PlaneSource) => ({ source, scale: 1, offset: 0, weight: 0.5 });
  const stating = (file: string, facts: object, more: Partial<PlaneSource> = {}): PlaneSource => ({
    ...master(file, new Float32Array(60_000)),
    facts: { from: {}, cards: [], ...facts },
    ...more,
  });

  it('states hours and subs of all, where all state them, and else what the first says', () => {
    const a = stating('a', { filter: 'Ha', hours: 2, subs: 24, object: 'Emberwing', gain: 100 });
    const { facts } = combined([a, stating('b', { hours: 3.5, subs: 42, gain: 200 })].map(part));
    expect(facts).toEqual({ ...a.facts, hours: 5.5, subs: 66 });
    const partly = combined([a, stating('b', { subs: 6 })].map(part)).facts;
    expect(partly).not.toHaveProperty('hours');
    expect(partly.subs).toBe(30);
    expect(combined([stating('b', {}), a].map(part)).facts).toEqual({ from: {}, cards: [] });
  });

  it('names all its files and what was said of them', () => {
    const both = combined([
      part(stating('a', {}, { warnings: ['no end'] })),
      part(stating('b', {}, { warnings: ['no start', 'odd'] })),
    ]);
    expect(both.file).toBe('a, b');
    expect(both.warnings).toEqual(['no end (a)', 'no start (b)', 'odd (b)']);
  });

  it('holds what any of them holds, and is no longer what a file stores', () => {
    const a = stating('a', {}, { type: 'u16', fullScale: 65535, raw: {} as PlaneSource['raw'] });
    const b = stating('b', {}, { type: 'u32' });
    expect(combined([a, a].map(part))).toMatchObject({ type: 'f32', fullScale: undefined, raw: undefined, ...size });
    expect(combined([a, b].map(part)).type).toBe('f64');
    expect(() => combined([])).toThrow(RangeError);
  });
});

describe('masters of one line', () => {
  it('without noise are matched exactly, and one alone is itself', async () => {
    const plane = Float32Array.from({ length: 60_000 }, (_, i) => 100 + (i % 300) + 2 * Math.floor(i / 300));
    const a = master('a', plane);
    const b = master(
      'b',
      plane.map((v) => 2 * v + 10),
    );
    const { parts, gain, warnings } = await matchMasters([a, b]);
    // x = (2x + 10)/2 − 5.
    expect(parts).toEqual([
      { source: a, scale: 1, offset: 0, weight: 0.5, noise: 0 },
      { source: b, scale: expect.closeTo(0.5, 9), offset: expect.closeTo(-5, 6), weight: 0.5, noise: 0 },
    ]);
    expect(gain).toBe(1);
    expect(warnings).toEqual([]);
    expect(await matchMasters([a])).toEqual({
      parts: [{ source: a, scale: 1, offset: 0, weight: 1, noise: 0 }],
      gain: 1,
      warnings: [],
    });
  });

  it('may keep their filters to themselves, but not differ in height, nor be one’s negative', async () => {
    const plane = Float32Array.from({ length: 60_000 }, (_, i) => 100 + (i % 300));
    const a = master('a', plane, 'Ha');
    await expect(matchMasters([a, master('b', plane)])).resolves.toMatchObject({ gain: 1 });
    await expect(matchMasters([master('b', plane), a])).resolves.toMatchObject({ gain: 1 });
    await expect(matchMasters([a, { ...a, height: 199 }])).rejects.toMatchObject({ tag: 'input' });
    const negative = master(
      'n',
      plane.map((v) => -v),
    );
    await expect(matchMasters([a, negative])).rejects.toMatchObject({ tag: 'input' });
    await expect(matchMasters([a], { signal: AbortSignal.abort() })).rejects.toMatchObject({ tag: 'cancelled' });
  });

  it('come to one level and scale, and lose noise as their hours say', async () => {
    const first = scene(2);
    const second = scene(6);
    const a = master('a', drawStack(first, 1), 'Ha');
    const b = master(
      'b',
      drawStack(second, 2).map((v) => 0.02 * v - 3),
      'ha ',
    );
    const { parts, gain, warnings } = await matchMasters([a, b]);
    expect(warnings).toEqual([]);
    expect(Math.abs(parts[1]!.scale / 50 - 1)).toBeLessThan(0.01);
    expect(Math.abs(parts[1]!.offset / 150 - 1)).toBeLessThan(0.1);
    expect(Math.abs(parts[1]!.weight - 0.75)).toBeLessThan(0.03);
    // 2 and 6 hours: 8 instead of 6.
    expect(Math.abs(gain! - Math.sqrt(8 / 6))).toBeLessThan(0.03);
    const together = combined(parts);
    const noise = pixelNoise(await measureBlocks(together));
    const alone = pixelNoise(await measureBlocks(a));
    expect(Math.abs(alone / noise / Math.sqrt(8 / 2) - 1)).toBeLessThan(0.03);
    const all = await pixels(together);
    let mean = 0;
    all.forEach((v, i) => {
      mean += (v - first.mean[i]!) / all.length;
    });
    expect(Math.abs(mean)).toBeLessThan(1);
  });

  it('leave out what the others contradict, but no pixel that only outliers define', async () => {
    const data = drawStack(scene(2), 1);
    const torn = data.slice();
    torn[20] = Number.NaN;
    const mask = createMask(size.width, size.height);
    for (const x of [10, 20, 30]) mark(mask, x, 0);
    const outliers = { mask, pixels: 3, share: 3 / 60_000, largest: [] };
    const other = createMask(size.width, size.height);
    mark(other, 30, 0);
    const all = await pixels(
      combined([
        { source: master('a', data), scale: 1, offset: 0, weight: 0.25, outliers },
        { source: master('b', torn), scale: 2, offset: 1, weight: 0.75, outliers: { ...outliers, mask: other } },
      ]),
    );
    expect(all[10]).toBeCloseTo(2 * data[10]! + 1, 2);
    expect(all[20]).toBe(data[20]);
    expect(all[30]).toBeCloseTo(0.25 * data[30]! + 0.75 * (2 * data[30]! + 1), 2);
  });

  it('fill each other where one has no data', async () => {
    const data = drawStack(scene(2), 1);
    const torn = data.slice().fill(Number.NaN, 0, 3000);
    torn[5000] = Number.POSITIVE_INFINITY;
    const all = await pixels(
      combined([
        { source: master('a', data), scale: 1, offset: 0, weight: 0.25 },
        { source: master('b', torn), scale: 2, offset: 1, weight: 0.75 },
      ]),
    );
    expect(all[10]).toBe(data[10]);
    expect(all[5000]).toBe(data[5000]);
    expect(all[4000]).toBeCloseTo(0.25 * data[4000]! + 0.75 * (2 * data[4000]! + 1), 2);
    const nothing = combined([{ source: master('b', torn), scale: 1, offset: 0, weight: 1 }]);
    expect((await pixels(nothing))[10]).toBeNaN();
  });

  it.skipIf(!inTurn('do not'))('are refused where they do not fit', async () => {
    const a = master('a.fits', drawStack(scene(2), 1), 'Ha');
    const small = { ...a, file: 'b.fits', width: 299 };
    await expect(matchMasters([a, small])).rejects.toMatchObject({
      tag: 'input',
      message: expect.stringMatching(/b\.fits is 299 × 200 .* a\.fits is 300 × 200/),
    });
    const oxygen = master('c.fits', drawStack(scene(2), 2), 'O III');
    await expect(matchMasters([a, oxygen])).rejects.toMatchObject({ message: expect.stringMatching(/"O III".*"Ha"/) });
    const turned = sceneTruth({ ...size, coverage: false, misfit: { H: { dx: 140, angle: 180 } } }).H;
    const other = master('d.fits', drawStack(turned, 2));
    await expect(matchMasters([a, other])).rejects.toMatchObject({
      message: expect.stringMatching(/do not show the same/),
    });
    const empty = master('e.fits', new Float32Array(60000).fill(Number.NaN));
    await expect(matchMasters([a, empty])).rejects.toMatchObject({ message: expect.stringMatching(/share no part/) });
  });

  it('are taken as they are, with a warning, where nothing but noise is in them', async () => {
    const { random } = await import('../../samples/scene/random.ts');
    const noise = (seed: number, level: number) => {
      const rng = random(seed, 1);
      return Float32Array.from({ length: 60000 }, () => level + rng.normal());
    };
    const { parts, warnings } = await matchMasters([master('a', noise(1, 100)), master('b', noise(2, 130))]);
    expect(parts[1]!.scale).toBe(1);
    // What is added to come to the level of the first; a median of 60,000 values of noise 1 is known to 0.005.
    expect(Math.abs(parts[1]!.offset + 30)).toBeLessThan(0.1);
    expect(warnings[0]).toMatch(/too little beside noise/);
  });
});
