import { describe, expect, it } from 'vitest';
import { ledgerText } from '../../lib/cli/hours-report.ts';
import { ledger } from '../../lib/hours/ledger.ts';
import { QUANTITIES } from '../../lib/hours/outputs.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { preparedChannels } from '../../lib/recipe/settle/prepared.ts';
import type { Settled, SettledSmooth } from '../../lib/recipe/settle/settled.ts';
import type { LineNoise } from '../../lib/smooth/noise-model.ts';
import { normals } from '../smooth/fields.ts';
import { WITHOUT_BOX } from './readings.ts';
import { SETTLED } from './settled.ts';

const SIDE = 320;
const EDGE = 50;

/** Noise of deviation 1 whose direct neighbours correlate by r = a/(1 + a²), along both axes. */
const noisePlane = (seed: number, a: number): Float32Array => {
  const normal = normals(seed);
  const wide = SIDE + 1;
  const white = Float64Array.from({ length: wide * wide }, normal);
  const at = (x: number, y: number) => white[y * wide + x]!;
  return Float32Array.from({ length: SIDE * SIDE }, (_, i) => {
    const [x, y] = [i % SIDE, Math.floor(i / SIDE)];
    return (at(x, y) + a * (at(x + 1, y) + at(x, y + 1)) + a * a * at(x + 1, y + 1)) / (1 + a * a);
  });
};

const deviation = (values: readonly number[]): number => {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  return Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1));
};

const smoothOf = (strength: number, scales: number, neighbours: number): SettledSmooth => {
  const noise = (level: number, deviation: number): LineNoise => ({
    level,
    variance: deviation ** 2,
    perCount: 0,
    neighbours,
  });
  return {
    strength,
    scales,
    guide: 'H',
    lines: ['S', 'O'],
    noise: { S: noise(1040, 4), H: noise(1550, 6), O: noise(1250, 5) },
    frame: { width: SIDE, height: SIDE },
  };
};

describe('the noise after smoothing', () => {
  it('is what the smoothing really leaves of noise, to 5 %', async () => {
    for (const [strength, scales, a] of [
      [0.5, 4, 0],
      [0.8, 4, 0],
      [0.8, 4, 0.3],
      [1, 2, 0],
    ] as const) {
      const settled: Settled = { ...SETTLED, smooth: smoothOf(strength, scales, a / (1 + a * a)) };
      const { smoothed } = ledger(settled, WITHOUT_BOX);
      const channels = WITHOUT_BOX.map(({ name, background: { value, noise } }, k) => {
        const data = noisePlane(100 * scales + k + 10 * a, a).map((v) => value + noise * v);
        return { name, source: planeSource(name, { width: SIDE, height: SIDE, data }) };
      });
      for (const [i, { source }] of preparedChannels(settled, channels).entries()) {
        const data = new Float32Array(SIDE * SIDE);
        await source.readRows(0, SIDE, data);
        // Where the frame ends there are fewer neighbours to take a mean of.
        const inside: number[] = [];
        for (let y = EDGE; y < SIDE - EDGE; y++) inside.push(...data.subarray(y * SIDE + EDGE, (y + 1) * SIDE - EDGE));
        const told = smoothed!.background.lineNoise[i]!;
        expect([strength, scales, a, i, Math.abs(deviation(inside) / told - 1) < 0.05]).toEqual([
          strength,
          scales,
          a,
          i,
          true,
        ]);
      }
    }
  });

  it('is carried through the mix, and the guide keeps its own', () => {
    const settled: Settled = { ...SETTLED, smooth: smoothOf(0.8, 4, 0) };
    const { background, smoothed } = ledger(settled, WITHOUT_BOX);
    expect(smoothed!.left[1]).toBe(1);
    expect(smoothed!.left[0]).toBeCloseTo(0.202, 2);
    // Red is H alone, blue O alone: here the recipe is straight within the noise.
    expect(smoothed!.background.noise.red).toBeCloseTo(background.noise.red, 9);
    expect(smoothed!.background.noise.blue / background.noise.blue).toBeCloseTo(smoothed!.left[2]!, 1);
    for (const q of QUANTITIES) expect(smoothed!.background.noise[q]).toBeLessThanOrEqual(background.noise[q]);
    expect(ledger(SETTLED, WITHOUT_BOX)).not.toHaveProperty('smoothed');
  });

  it('stands in the words beside the noise before', () => {
    const settled: Settled = { ...SETTLED, smooth: smoothOf(0.8, 4, 0) };
    const words = ledgerText({ ledger: ledger(settled, WITHOUT_BOX), lines: [] });
    expect(words).toContain('after smoothing');
    expect(words).toContain('Smoothing leaves 20 % in S and 20 % in O of the noise of a pixel.');
    expect(words).toContain('where signal shows, more noise is left');
  });
});
