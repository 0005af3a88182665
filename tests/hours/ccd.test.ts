import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { expectedNoise, readPenalty } from '../../lib/hours/ccd.ts';
import { GAIN, noiseOf, READ_NOISE } from '../../samples/scene/index.ts';

const golden = JSON.parse(readFileSync(new URL('../golden/hours/ccd.json', import.meta.url), 'utf8'));

describe('the CCD equation', () => {
  it("gives the noise of a pixel of Howell's worked example", () => {
    const v = golden['ccd.howell'].values;
    const pixel = expectedNoise({ sky: v.N_sky_e, dark: v.N_dark_e, read: v.N_read_e }, 1, 1, 1);
    // The handbook's aperture: noise of the star, of its pixels, and of the pixels that its background is taken from.
    const snr = v.N_star_e / Math.sqrt(v.N_star_e + v.npix * (1 + v.npix / v.nB) * pixel ** 2);
    expect(Math.abs(snr - v.published)).toBeLessThan(0.5);
  });

  it('gives the SNR of stacks of subs: many short, few long', () => {
    const v = golden.subs.values;
    // Light of the object adds to the noise as that of the sky does.
    const snr = (seconds: number, subs: number) =>
      (v.S * seconds) / expectedNoise({ sky: v.S + v.B, dark: v.D, read: v.Rn }, 1, seconds, subs);
    expect(snr(400, 9)).toBeCloseTo(v.snr_9x400, 9);
    expect(snr(400, 180)).toBeCloseTo(v.snr_180x400_20h, 9);
    expect(snr(3600, 1)).toBeCloseTo(v.snr_1x3600, 9);
    expect(expectedNoise({ sky: 1, read: 2 }, 0.5, 12, 1)).toBe(8);
  });

  it('says what reading out costs: much in short subs, nothing in a camera without read noise', () => {
    const v = golden.subs.values;
    const camera = { sky: v.B, dark: v.D, read: v.Rn };
    expect(readPenalty(camera, 400, v.S)).toBeCloseTo(v.read_noise_penalty_180x400, 9);
    expect(readPenalty({ ...camera, read: 0 }, 400)).toBe(1);
    expect(readPenalty({ sky: 0, read: 2 }, 400)).toBe(Number.POSITIVE_INFINITY);
  });

  it("gives the noise that the sample scene's camera puts in", () => {
    const mean = 996;
    const sky = ((mean - 600) * GAIN) / 400;
    expect(expectedNoise({ sky, read: READ_NOISE }, GAIN, 400, 54)).toBeCloseTo(noiseOf(mean, 54), 12);
  });
});
