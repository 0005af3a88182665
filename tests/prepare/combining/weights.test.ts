import { describe, expect, it } from 'vitest';
import { matchMasters } from '../../../lib/prepare/match.ts';
import { FULL, someOf } from '../../cases.ts';
import { asSource, drawSky, expose, movedHalf } from './sky.ts';

const SIZE = { width: 480, height: 360 };
const match = (sky: ReturnType<typeof drawSky>, ...planes: Float32Array[]) =>
  matchMasters(planes.map((plane, i) => asSource(`m${i}.fits`, sky, plane)));

describe('weights of masters', () => {
  it.each(someOf([911, 912, 913], 1))('are inverse variances, whatever the units (seed %i)', async (seed) => {
    const sky = drawSky(seed, SIZE);
    const other = expose(sky, 20, seed + 10).map((v) => 0.02 * v - 3);
    const { parts, gain, warnings } = await match(sky, expose(sky, 10, seed), other);
    expect(warnings).toEqual([]);
    expect(Math.abs(parts[1]!.scale / 50 - 1)).toBeLessThan(0.01);
    // 1/20² of 1/10² + 1/20²; √(1 + 1/4) less noise than the first.
    expect(Math.abs(parts[1]!.weight - 0.2)).toBeLessThan(0.04);
    expect(Math.abs(gain! - Math.sqrt(1.25))).toBeLessThan(0.04);
  });

  it.each(someOf([921, 922, 923], 1))(
    'see through resampling, which hides noise from neighbouring pixels (seed %i)',
    async (seed) => {
      const sky = drawSky(seed, SIZE);
      const moved = drawSky(seed, { ...SIZE, right: 0.5, down: 0.5 });
      // Noise 20, and 10 from pixel to pixel once it was moved back.
      const resampled = movedHalf(sky, expose(moved, 20, seed + 10));
      const { parts } = await match(sky, expose(sky, 10, seed), resampled);
      expect(Math.abs(parts[1]!.weight - 0.2)).toBeLessThan(0.08);
    },
  );

  it('are nearly equal for masters of equal noise and unlike seeing', async () => {
    const sharp = drawSky(931, { ...SIZE, seeing: 1.3 });
    const soft = drawSky(931, { ...SIZE, seeing: Math.hypot(1.3, 1.2) });
    const { parts } = await match(sharp, expose(sharp, 10, 932), expose(soft, 10, 933));
    expect(Math.abs(parts[1]!.weight - 0.5)).toBeLessThan(0.12);
  });
});

describe('scales', () => {
  it('of a third are found in noise, or the masters are taken as they are with a warning', async () => {
    let found = 0;
    // The share of what is found is judged, so these are the same few in every run but a full one.
    const count = FULL ? 12 : 5;
    for (let seed = 941; seed < 941 + count; seed++) {
      const sky = drawSky(seed, { width: 320, height: 240, stars: 15 });
      const third = expose(sky, 120, seed + 20).map((v) => 3 * v);
      const { parts, warnings } = await match(sky, expose(sky, 40, seed), third);
      if (warnings.length > 0) expect([parts[1]!.scale, warnings[0]]).toEqual([1, expect.stringMatching(/too little/)]);
      else {
        found++;
        expect(Math.abs(3 * parts[1]!.scale - 1), `seed ${seed}`).toBeLessThan(0.1);
      }
    }
    expect(found).toBeGreaterThanOrEqual(count - 1);
  });
});

describe('noise that masters share', () => {
  const sky = drawSky(961, SIZE);
  const one = expose(sky, 10, 962);
  const correlationOf = (warning: string | undefined) => Number(/correlation ([\d.]+)/.exec(warning ?? '')?.[1]);

  it.each(someOf([971, 972], 1))('is none between independent masters (seed %i)', async (seed) => {
    const { gain, warnings } = await match(sky, one, expose(sky, 10, seed));
    expect(warnings).toEqual([]);
    expect(Math.abs(gain! - Math.SQRT2)).toBeLessThan(0.08);
  });

  it('tells copies that were moved by half a pixel, and promises no gain', async () => {
    const { parts, gain, warnings } = await match(sky, one, movedHalf(sky, one));
    expect(correlationOf(warnings[0])).toBeGreaterThan(0.25);
    expect(gain).toBeUndefined();
    expect(Math.abs(parts[0]!.weight - 0.5)).toBeLessThan(0.2);
  });

  it('tells copies with noise of their own', async () => {
    const more = expose({ ...sky, light: Float64Array.from(one) }, 3, 975);
    const { gain, warnings } = await match(sky, one, more);
    expect(correlationOf(warnings[0])).toBeGreaterThan(0.9);
    for (const file of ['m0.fits', 'm1.fits']) expect(warnings[0]).toContain(file);
    expect(gain).toBeUndefined();
  });

  it('tells masters of which half of the exposures are the same', async () => {
    const [a, b, c] = [1, 2, 3].map((k) => expose(sky, 14, 980 + k)) as [Float32Array, Float32Array, Float32Array];
    const mean = (x: Float32Array, y: Float32Array) => x.map((v, i) => (v + y[i]!) / 2);
    const { warnings } = await match(sky, mean(a, b), mean(b, c));
    expect(Math.abs(correlationOf(warnings[0]) - 0.5)).toBeLessThan(0.05);
  });
});
