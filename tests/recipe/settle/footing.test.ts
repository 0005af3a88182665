import { describe, expect, it } from 'vitest';
import type { Channel } from '../../../lib/measure/measure.ts';
import type { HeaderFacts } from '../../../lib/plane/facts.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { prepareChannels } from '../../../lib/recipe/settle/channels.ts';
import { settleChannels } from '../../../lib/recipe/settle/settle-channels.ts';
import type { Recipe } from '../../../lib/recipe/written/schema.ts';
import { random } from '../../../samples/scene/random.ts';
import { SHO } from '../written/fault.ts';

const SIZE = { width: 128, height: 96 };
/** A hill over a slope, without sky of one level. */
const light = Float64Array.from({ length: SIZE.width * SIZE.height }, (_, i) => {
  const [x, y] = [i % SIZE.width, Math.floor(i / SIZE.width)];
  return 3 * x + 2000 * Math.exp(-((x - 70) ** 2 + (y - 40) ** 2) / 900);
});
const channel = (name: string, seed: number, value: (light: number, normal: number) => number, hours?: number) => {
  const rng = random(seed, 1);
  const facts: HeaderFacts = { from: {}, cards: [], ...(hours !== undefined && { hours }) };
  const data = Float32Array.from(light, (v) => value(v, rng.normal()));
  return { name, source: planeSource(`${name}.fits`, { ...SIZE, data }, facts) } satisfies Channel;
};
/** The same light in three strengths, over pedestals of their own, in noise of 2, 4 and 8. */
const S = channel('S', 1, (v, n) => 500 + 0.5 * v + 2 * n, 2);
const H = channel('H', 2, (v, n) => 900 + v + 4 * n, 5);
const O = channel('O', 3, (v, n) => 100 + 0.25 * v + 8 * n, 10);
const flat = channel('O', 4, () => 700, 10);

/** Widths from black to white, as shares of the first line's. */
const widths = async (recipe: Partial<Recipe>, channels: readonly Channel[] = [S, H, O]) => {
  const { settled } = await settleChannels({ matrix: SHO, ...recipe }, channels);
  const all = settled.channels.map(({ black, white }) => white - black);
  return all.map((width) => width / all[0]!);
};

describe('the footing of lines', () => {
  it('is one scale for all where true ratios are wanted', async () => {
    expect(await widths({ scale: 'together' })).toEqual([1, expect.closeTo(1, 5), expect.closeTo(1, 5)]);
  });

  it('is as many hours, where light by the hour is wanted', async () => {
    // A value times 1/hours on common footing: so much wider is the range of who has more.
    expect(await widths({ scale: 'hours' })).toEqual([1, expect.closeTo(2.5, 5), expect.closeTo(5, 5)]);
  });

  it.each([undefined, 0, -1])('cannot be hours where a header states %s of them', async (hours) => {
    const without = channel('O', 3, (v) => v, hours);
    await expect(widths({ scale: 'hours' }, [S, H, without])).rejects.toMatchObject({ tag: 'input', file: 'O.fits' });
    // A line that holds nothing has no footing to be found.
    const empty = channel('O', 3, () => 7, hours);
    await expect(widths({ scale: 'hours' }, [S, H, empty])).resolves.toBeDefined();
  });

  it('is as many times the noise of a pixel, whatever the light does', async () => {
    const [, h, o] = await widths({ scale: 'noise' });
    expect(Math.abs(h! / 2 - 1)).toBeLessThan(0.1);
    expect(Math.abs(o! / 4 - 1)).toBeLessThan(0.1);
  });

  it('is given by numbers, 1 where none is given', async () => {
    const found = await widths({ scale: { H: 2, O: 0.5 } });
    expect(found).toEqual([1, expect.closeTo(0.5, 5), expect.closeTo(2, 5)]);
  });

  it.each([
    ['the first line', 'fit', [1, 0.5, 2]],
    ['a named one', { mode: 'fit', to: 'H' }, [2, 1, 4]],
  ] as const)('is fitted to %s through noise, pedestals and slopes', async (_, scale, factors) => {
    const { findings } = await prepareChannels({ matrix: SHO, scale }, [S, H, O]);
    for (const [i, { name }] of [S, H, O].entries())
      expect(findings[name]!.factor! / factors[i]!, name).toBeCloseTo(1, 1);
    const [, h, o] = await widths({ scale });
    expect(h! * (factors[1] / factors[0])).toBeCloseTo(1, 1);
    expect(o! * (factors[2] / factors[0])).toBeCloseTo(1, 1);
  });

  it('is looked for only where it is asked for', async () => {
    for (const scale of ['each', 'together', { S: 2 }] as const) {
      const { findings } = await prepareChannels({ matrix: SHO, scale }, [S, H, O]);
      for (const { factor, pixelNoise } of Object.values(findings))
        expect([factor, pixelNoise]).toEqual([undefined, undefined]);
    }
    const { findings } = await prepareChannels({ matrix: SHO, lightness: 'least-noise' }, [S, H, flat]);
    expect(findings.S!.pixelNoise! / 2).toBeCloseTo(1, 1);
    expect(findings.O?.pixelNoise).toBeUndefined();
  });

  it('is none for a line that holds nothing, and fitted to the first that does', async () => {
    const empty = { ...flat, name: 'S' };
    const { findings } = await prepareChannels({ matrix: SHO, scale: 'fit' }, [empty, H, O]);
    expect([findings.S?.factor, findings.H!.factor]).toEqual([undefined, 1]);
    expect(findings.O!.factor! / 4).toBeCloseTo(1, 1);
  });

  it('cannot be fitted where nothing varies, the line named has no weight, or one does not rise with it', async () => {
    const refused = async (scale: Recipe['scale'], channels: readonly Channel[], matrix = SHO) =>
      expect(prepareChannels({ matrix, scale }, channels)).rejects.toMatchObject({ tag: 'input' });
    await refused('fit', [{ ...flat, name: 'S' }, { ...flat, name: 'H' }, flat]);
    await refused(
      { mode: 'fit', to: 'O' },
      [S, H],
      [
        [1, 0, 0],
        [0, 1, 0],
        [1, 0, 0],
      ],
    );
    const falling = channel('O', 3, (v, n) => 9000 - v + n);
    await refused('fit', [S, H, falling]);
  });
});
