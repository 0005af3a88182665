import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { apertureSnr, combinedNoise, expectedNoise, readPenalty, stackSnr } from '../../lib/hours/ccd.ts';
import { GAIN, noiseOf, READ_NOISE } from '../../samples/scene/index.ts';

const golden = JSON.parse(readFileSync(new URL('../golden/hours/ccd.json', import.meta.url), 'utf8'));

describe('the CCD equation', () => {
  it("gives Howell's worked example", () => {
    const v = golden['ccd.howell'].values;
    const snr = apertureSnr({
      signal: v.N_star_e,
      sky: v.N_sky_e,
      dark: v.N_dark_e,
      read: v.N_read_e,
      pixels: v.npix,
      skyPixels: v.nB,
      gain: v.gain,
    });
    expect(Math.abs(snr - v.published)).toBeLessThan(0.5);
    expect(snr).toBeCloseTo(v.snr, 9);
  });

  it('gives stacks of subs: many short, few long', () => {
    const v = golden.subs.values;
    const camera = { sky: v.B, dark: v.D, read: v.Rn };
    expect(stackSnr(v.S, camera, 400, 9)).toBeCloseTo(v.snr_9x400, 9);
    expect(stackSnr(v.S, camera, 400, 180)).toBeCloseTo(v.snr_180x400_20h, 9);
    expect(stackSnr(v.S, camera, 3600, 1)).toBeCloseTo(v.snr_1x3600, 9);
    expect(readPenalty(camera, 400, v.S)).toBeCloseTo(v.read_noise_penalty_180x400, 9);
    expect(readPenalty({ ...camera, read: 0 }, 400)).toBe(1);
    expect(readPenalty({ sky: 0, read: 2 }, 400)).toBe(Number.POSITIVE_INFINITY);
  });

  it("gives the noise that the sample scene's camera puts in", () => {
    const mean = 996;
    const sky = ((mean - 600) * GAIN) / 400;
    expect(expectedNoise({ sky, read: READ_NOISE }, GAIN, 400, 54)).toBeCloseTo(noiseOf(mean, 54), 12);
  });

  it('weighs by inverse variance', () => {
    const { s, u } = golden.invvar.values;
    expect(combinedNoise(s)).toBeCloseTo(u, 12);
  });
});
