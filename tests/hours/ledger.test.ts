import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type LineStats, ledger } from '../../lib/hours/ledger.ts';
import { monteCarlo } from '../../lib/hours/monte-carlo.ts';
import { QUANTITIES } from '../../lib/hours/outputs.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';
import { CURVES } from '../../lib/stretch/curves.ts';
import { KINDS, SETTLED } from './settled.ts';

const golden = JSON.parse(readFileSync(new URL('../golden/hours/covariance.json', import.meta.url), 'utf8'));

const STATS: readonly LineStats[] = [
  { name: 'S', background: { value: 1040, noise: 4 }, box: { value: 1150, noise: 5, pixels: 400, area: 1 } },
  { name: 'H', background: { value: 1550, noise: 6 }, box: { value: 1900, noise: 8, pixels: 400, area: 1 } },
  { name: 'O', background: { value: 1250, noise: 5 }, box: { value: 1500, noise: 6, pixels: 400, area: 1 } },
];

describe('ledger', () => {
  it('with straight curves gives the covariance of the mix', () => {
    const { W, sigma_in, cov_out, sigma_lum, lum_weights_channels } = golden['cov.mix'].values;
    const channels = SETTLED.channels.map((c) => ({
      ...c,
      background: 0,
      black: 0,
      white: 1,
      stretch: { curve: 'linear' as const },
    }));
    const settled: Settled = { ...SETTLED, channels, matrix: W, space: 'srgb-linear', mixIn: 'light' };
    const { background } = ledger(
      settled,
      // A hundredth of the reference's noise, so that none of it reaches black.
      channels.map(({ name }, i) => ({ name, background: { value: 0.3 + i / 10, noise: sigma_in[i] / 100 } })),
    );
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++)
        expect(Math.abs(1e4 * background.covariance[i]![j]! - cov_out[i][j])).toBeLessThan(1e-12);
    // The reference rounds the luminance weights of sRGB to four digits.
    expect((100 * background.noise.luminance) / sigma_lum).toBeCloseTo(1, 4);
    for (let i = 0; i < 3; i++) expect(background.jacobian[3]![i]).toBeCloseTo(lum_weights_channels[i], 4);
  });

  it('with curves gives weight × slope / range', () => {
    const { background } = ledger(SETTLED, STATS);
    for (const [b, row] of SETTLED.matrix.entries())
      for (const [c, { background: sky, black, white, stretch }] of SETTLED.channels.entries()) {
        const z = (STATS[c]!.background.value - sky - black) / (white - black);
        const wanted = (row[c]! * CURVES.bias.slope({ a: stretch.a })(z)) / (white - black);
        expect(Math.abs(background.jacobian[b]![c]! - wanted)).toBeLessThan(1e-11);
      }
  });

  it('shares sum to 1, and a line without weight has none', () => {
    const { background, box } = ledger(SETTLED, STATS);
    for (const place of [background, box!])
      for (const q of QUANTITIES) expect(place.shares[q].reduce((a, b) => a + b)).toBeCloseTo(1, 12);
    expect(background.shares.red).toEqual([0, 1, 0]);
    expect(background.shares.blue).toEqual([0, 0, 1]);
    expect(background.noise.colour).toBeCloseTo(
      Math.hypot(background.noise.red, background.noise.green, background.noise.blue),
      12,
    );
  });

  it('gives the signal of a box over the noise of one pixel and of the mean', () => {
    const { background, box } = ledger(SETTLED, STATS);
    const rise = box!.outputs[0]! - background.outputs[0]!;
    expect(box!.signal.red).toBe(rise);
    expect(box!.snr.red).toBeCloseTo(rise / box!.noise.red, 12);
    expect(box!.snrOfMean.red).toBeCloseTo(20 * box!.snr.red, 9);
    const together = ledger(
      SETTLED,
      STATS.map((s) => ({ ...s, box: { ...s.box!, area: 2 } })),
    );
    expect(together.box!.snrOfMean.red).toBeCloseTo(10 * box!.snr.red, 9);
  });

  it('says 0, never NaN, where everything is cut off', () => {
    const dark = STATS.map((s) => ({ ...s, background: { value: 0, noise: 5 } }));
    const { background } = ledger(SETTLED, dark);
    expect(background.noise.luminance).toBe(0);
    expect(background.shares.luminance).toEqual([0, 0, 0]);
  });

  it('leaves the box out where a line has none', () => {
    const { box } = ledger(SETTLED, [{ ...STATS[0]!, box: undefined }, ...STATS.slice(1)]);
    expect(box).toBeUndefined();
  });

  it('takes readings by name, in the order of the recipe, and is told where one is missing', () => {
    expect(ledger(SETTLED, STATS.toReversed())).toEqual(ledger(SETTLED, STATS));
    expect(ledger(SETTLED, STATS).lines).toEqual(['S', 'H', 'O']);
    expect(() => ledger(SETTLED, STATS.slice(1))).toThrow(RangeError);
  });

  it('counts the pixels of the line that has fewest, and each line’s mean by its own', () => {
    const pixels = [400, 100, 900];
    const { box } = ledger(
      SETTLED,
      STATS.map((s, i) => ({ ...s, box: { ...s.box!, pixels: pixels[i]! } })),
    );
    expect(box!.pixels).toBe(100);
    // Red is H alone, blue O alone.
    expect(box!.snrOfMean.red).toBeCloseTo(10 * box!.snr.red, 9);
    expect(box!.snrOfMean.blue).toBeCloseTo(30 * box!.snr.blue, 9);
  });

  it('gives a signal its sign, a distance none, and its SNR neither', () => {
    const swapped = STATS.map((s) => ({ ...s, background: s.box!, box: { ...s.box!, ...s.background } }));
    const { box } = ledger(SETTLED, swapped);
    const { background, box: bright } = ledger(SETTLED, STATS);
    expect(box!.signal.luminance).toBeCloseTo(-bright!.signal.luminance, 12);
    const rgb = [0, 1, 2].map((k) => bright!.outputs[k]! - background.outputs[k]!);
    expect(bright!.signal.colour).toBeCloseTo(Math.hypot(...rgb), 12);
    expect(box!.signal.colour).toBeCloseTo(bright!.signal.colour, 12);
    expect(box!.snr.luminance).toBeCloseTo(-box!.signal.luminance / box!.noise.luminance, 12);
  });
});

describe('Monte Carlo', () => {
  const draws = 20000;
  it.each(Object.keys(KINDS).filter((kind) => kind !== 'clipped'))('agrees with the ledger: %s', (kind) => {
    const settled = KINDS[kind]!;
    const { background, box } = ledger(settled, STATS);
    for (const place of [background, box!]) {
      const { noise, ratio, error } = monteCarlo(settled, place, draws, 11);
      expect(error).toBeCloseTo(0.005, 4);
      for (const q of QUANTITIES) if (noise[q] > 0) expect(Math.abs(ratio[q] - 1), `${kind} ${q}`).toBeLessThan(0.03);
    }
  });

  it('agrees also where noise reaches down to black, and the slope at the background does not', () => {
    const loud = STATS.map((s) => ({ ...s, background: { value: s.background.value - 85, noise: 20 } }));
    const { background } = ledger(SETTLED, loud);
    const { ratio, noise } = monteCarlo(SETTLED, background, 40_000, 17);
    for (const q of QUANTITIES) expect(Math.abs(ratio[q] - 1), q).toBeLessThan(0.05);
    const byJacobian = Math.hypot(...background.jacobian[0]!.map((slope) => slope * 20));
    expect(byJacobian / (noise.red * 1)).toSatisfy((r: number) => Math.abs(r - 1) > 0.05);
  });

  it('is the same for the same seed only', () => {
    const { background } = ledger(SETTLED, STATS);
    const draw = (seed: number) => monteCarlo(SETTLED, background, 100, seed).noise.red;
    expect(draw(1)).toBe(draw(1));
    expect(draw(1)).not.toBe(draw(2));
  });
});
