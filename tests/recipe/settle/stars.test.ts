import { describe, expect, it } from 'vitest';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';
import { settleStars } from '../../../lib/recipe/settle/stars.ts';
import { random } from '../../../samples/scene/random.ts';

const SIZE = { width: 80, height: 60 };
/** Sky of 200 in noise of 4, and a star of 5000 in every 50th pixel. */
const linear = (file: string, seed: number, factor = 1): PlaneSource => {
  const rng = random(seed, 1);
  const data = Float32Array.from(
    { length: SIZE.width * SIZE.height },
    (_, i) => factor * (200 + 4 * rng.normal() + (i % 50 === 7 ? 5000 : 0)),
  );
  return planeSource(file, { ...SIZE, data });
};
const shown = (file: string, top: number, fullScale?: number): PlaneSource => {
  const data = Float32Array.from({ length: SIZE.width * SIZE.height }, (_, i) => (top * (i % 97)) / 96);
  return { ...planeSource(file, { ...SIZE, data }), fullScale };
};
const LINEAR = { strength: 1 };
const three = [linear('red', 1), linear('green', 2, 2), linear('blue', 3)];

describe('a picture of the stars', () => {
  it.each([
    ['floats up to 1', 1, undefined, 1],
    ['floats up to a half', 0.5, undefined, 1],
    ['whole numbers of 8 bits', 200, 255, 255],
    ['whole numbers of 16 bits', 900, 65535, 65535],
  ])('is taken as it is where it holds display values: %s', async (_, top, fullScale, white) => {
    const { strength, channels } = await settleStars({}, [shown('a', top, fullScale), shown('b', top / 2, fullScale)]);
    expect(strength).toBe(1);
    const plain = { background: 0, black: 0, white, stretch: { curve: 'linear' } };
    expect(channels).toEqual([plain, plain]);
  });

  it('is linear light over sky else: the sky goes, on one scale for all colours, and faint stars are lifted', async () => {
    const { channels } = await settleStars(LINEAR, three);
    for (const [i, factor] of [1, 2, 1].entries()) {
      const { background, black, white, stretch } = channels[i]!;
      expect(background / (200 * factor)).toBeCloseTo(1, 2);
      expect(black / (3 * 4 * factor)).toBeCloseTo(1, 0);
      expect(white - black).toBeCloseTo(channels[1]!.white - channels[1]!.black, 0);
      // asinh(0.02/a) / asinh(1/a) = 0.2.
      expect(stretch.curve).toBe('asinh');
      expect(Math.asinh(0.02 / stretch.a!) / Math.asinh(1 / stretch.a!)).toBeCloseTo(0.2, 5);
    }
    // The brightest colour decides: 99.9 % of its pixels lie below white.
    expect(channels[1]!.white / (2 * 5000)).toBeCloseTo(1, 1);
  });

  it.each<[string, PlaneSource[]]>([
    ['of two scales', [shown('a', 200, 255), shown('b', 900, 65535)]],
    ['of a scale and none', [shown('a', 200, 255), linear('b', 4)]],
    ['of none and a scale', [linear('b', 4), shown('a', 200, 255)]],
  ])('is linear light where its colours are %s', async (_, sources) => {
    const { channels } = await settleStars({}, sources);
    expect(channels.map(({ stretch }) => stretch.curve)).toEqual(['asinh', 'asinh']);
    expect(channels.every(({ background }) => background > 0)).toBe(true);
  });

  it('follows what the recipe says of levels, curve and strength', async () => {
    const given = await settleStars(
      { strength: 0.5, levels: { black: 100, white: 3000 }, stretch: { curve: 'power', a: 0.5 } },
      three,
    );
    expect(given.strength).toBe(0.5);
    for (const { black, white, stretch } of given.channels)
      expect([black, white, stretch]).toEqual([100, 3000, { curve: 'power', a: 0.5 }]);
    const points: [number, number][] = [[0.25, 0.5]];
    const curved = await settleStars({ stretch: { curve: 'points', points } }, three);
    expect(curved.channels[2]!.stretch).toEqual({ curve: 'points', points });
    const lifted = await settleStars({ stretch: { background: 0.4 } }, three);
    const { a } = lifted.channels[0]!.stretch;
    expect(Math.asinh(0.02 / a!) / Math.asinh(1 / a!)).toBeCloseTo(0.4, 5);
    expect((await settleStars({ stretch: { curve: 'linear' } }, three)).channels[0]!.stretch).toEqual({
      curve: 'linear',
    });
  });

  it('has white at a percentile that is asked for', async () => {
    // Of 4800 pixels 96 are stars: 99 % lie among them, 90 % below: of the sky 4320 of 4704.
    const white = async (percentile: number) =>
      (await settleStars({ levels: { black: 0, white: { percentile } } }, [three[0]!])).channels[0]!.white;
    expect((await white(99)) / 5000).toBeCloseTo(1, 1);
    // 91.8 % of the sky is less than 1.39 σ above it.
    expect(Math.abs((await white(90)) / (1.39 * 4) - 1)).toBeLessThan(0.15);
  });

  it('leaves a colour that holds nothing at its own level', async () => {
    const empty = planeSource('none', { ...SIZE, data: new Float32Array(SIZE.width * SIZE.height).fill(50) });
    const { channels } = await settleStars({}, [three[0]!, empty]);
    expect([channels[1]!.background, channels[1]!.black]).toEqual([50, 0]);
    expect(channels[1]!.white).toBeLessThan(channels[0]!.white);
    await expect(
      settleStars({}, [planeSource('gone', { ...SIZE, data: new Float32Array(4800).fill(Number.NaN) })]),
    ).rejects.toMatchObject({ tag: 'input' });
  });
});
