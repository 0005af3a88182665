import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { OutputSample } from '../../lib/plane/picture.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { pictureInMemory, renderPicture } from '../../lib/render/picture.ts';

const SIZE = { width: 3, height: 2 };
const NONE = Number.NaN;
const plane = (name: string, ...values: number[]) => planeSource(name, { ...SIZE, data: Float32Array.from(values) });
/** The mix: grey of these display values, without data in the fourth pixel. */
const MIX = [0, 0.25, 0.5, NONE, 0.75, 1];
const channels = [{ name: 'H', source: plane('h', ...MIX) }];
const STARS = [
  [100, 110, 120, 130, 140, 150],
  [100, 100, NONE, 150, 300, 100],
  [90, 125, 150, 150, 100, Number.POSITIVE_INFINITY],
];
const over = STARS.map((values, b) => plane(`star ${b}`, ...values));
const linear = { curve: 'linear' } as const;
const starChannel = { background: 90, black: 10, white: 60, stretch: linear };
const settledFor = (space: Settled['space'], strength = 0.8): Settled => ({
  channels: [{ name: 'H', background: 0, black: 0, white: 1, stretch: linear }],
  matrix: [[1], [1], [1]],
  mixIn: 'display',
  space,
  highlights: 'clip',
  gamut: 'clip',
  stars: { strength, channels: [starChannel, starChannel, starChannel] },
});
const rendered = async (settled: Settled, sample: OutputSample, bands: 3 | 4) => {
  const form = { ...SIZE, sample, bands };
  const { writer, picture } = pictureInMemory(form);
  await renderPicture(channels, settled, form, writer, {}, over);
  return [...picture.data];
};

/** v = m + s − m·s, s = strength · clamp((x − 100) / 50), as settled numbers say it; nothing where either has no data. */
const laid = (m: number, x: number, strength = 0.8): number => {
  if (Number.isNaN(m)) return 0;
  const s = Number.isFinite(x) ? strength * Math.min(1, Math.max(0, (x - 100) / 50)) : 0;
  return m + s - m * s;
};
const expected = MIX.flatMap((m, i) => STARS.map((values) => laid(m, values[i]!)));
/** IEC 61966-2-1. */
const decode = (v: number) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);

describe('stars laid over a mix', () => {
  it.each(['srgb', 'display-p3'] as const)('are added by screen in display values of %s', async (space) => {
    const found = await rendered(settledFor(space), 'f32', 3);
    expect(found).toEqual(expected.map((v) => expect.closeTo(v, 5)));
  });

  it('are added in display values where the picture holds light', async () => {
    const found = await rendered(settledFor('srgb-linear'), 'f32', 3);
    const light = MIX.flatMap((m, i) => STARS.map((values) => (Number.isNaN(m) ? 0 : decode(laid(m, values[i]!)))));
    expect(found).toEqual(light.map((v) => expect.closeTo(v, 4)));
  });

  it.each([
    ['u8', 255],
    ['u16', 65535],
  ] as const)('are rounded once in %s', async (sample, full) => {
    const found = await rendered(settledFor('srgb'), sample, 3);
    expect(found.map((v, i) => Math.abs(v - expected[i]! * full) <= 0.51)).toEqual(expected.map(() => true));
  });

  it('leave transparent what has no data', async () => {
    const found = await rendered(settledFor('srgb'), 'u8', 4);
    const pixels = MIX.map((_, i) => found.slice(4 * i, 4 * i + 4));
    expect(pixels.map((p) => p[3])).toEqual([255, 255, 255, 0, 255, 255]);
    expect(pixels[3]).toEqual([0, 0, 0, 0]);
    expect(pixels.flatMap((p) => p.slice(0, 3))).toEqual(await rendered(settledFor('srgb'), 'u8', 3));
  });

  it('change nothing at a strength of 0', async () => {
    const found = await rendered(settledFor('srgb', 0), 'f32', 3);
    expect(found).toEqual(MIX.flatMap((m) => [m, m, m].map((v) => (Number.isNaN(v) ? 0 : expect.closeTo(v, 6)))));
  });
});
