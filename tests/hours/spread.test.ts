import { describe, expect, it } from 'vitest';
import { ledger } from '../../lib/hours/ledger.ts';
import { forQuantities, OUTPUTS, outputFunction, QUANTITIES, QUANTITY_ROWS } from '../../lib/hours/outputs.ts';
import type { Settled } from '../../lib/recipe/settle/settled.ts';

const NOISE = [5.5, 10, 7.7];
const SKY = [1000, 1500, 1200];
const MATRIX = [
  [0.2, 0.8, 0],
  [0.25, 0, 0.75],
  [0, 0.1, 0.9],
];

/** Black so many deviations of noise below the sky, and a curve. */
const settled = (
  below: number,
  stretch: Settled['channels'][number]['stretch'],
  more: Partial<Settled> = {},
): Settled => ({
  channels: ['S', 'H', 'O'].map((name, i) => ({
    name,
    background: SKY[i]!,
    black: -below * NOISE[i]!,
    white: 300 * NOISE[i]!,
    stretch,
  })),
  matrix: MATRIX,
  mixIn: 'display',
  space: 'srgb',
  highlights: 'clip',
  gamut: 'clip',
  ...more,
});

const CASES: Readonly<Record<string, Settled>> = {
  'a straight recipe': settled(40, { curve: 'linear' }),
  'asinh, steep': settled(3, { curve: 'asinh', a: 0.002 }),
  'asinh, black at 1.5 σ': settled(1.5, { curve: 'asinh', a: 0.01 }),
  'a cut at the sky': settled(0, { curve: 'linear' }),
  'a root': settled(2, { curve: 'power', a: 0.4 } as never),
  'in light': settled(1.5, { curve: 'linear' }, { mixIn: 'light', intensity: { curve: 'asinh', a: 0.01 } }),
};

/** Uniform numbers by a linear congruence (D. E. Knuth's MMIX, high bits), made normal by Box and Muller. */
const boxMuller = () => {
  let state = 88172645463325252n;
  const uniform = () => {
    state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn;
    return (Number(state >> 32n) + 0.5) / 4294967296;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
};

const DRAWS = 12000;

describe('noise at bent curves', () => {
  it.each(Object.entries(CASES))('%s: within a twentieth of what draws give', (_, recipe) => {
    const stats = ['S', 'H', 'O'].map((name, i) => ({ name, background: { value: SKY[i]!, noise: NOISE[i]! } }));
    const { background } = ledger(recipe, stats);
    const outputs = outputFunction(recipe);
    const normal = boxMuller();
    const outs = Array.from({ length: DRAWS }, () => outputs(SKY.map((v, i) => v + NOISE[i]! * normal())));
    const variance = OUTPUTS.map((_, k) => {
      const mean = outs.reduce((sum, out) => sum + out[k]!, 0) / DRAWS;
      return outs.reduce((sum, out) => sum + (out[k]! - mean) ** 2, 0) / DRAWS;
    });
    const drawn = forQuantities((q) => Math.sqrt(QUANTITY_ROWS[q].reduce((sum, row) => sum + variance[row]!, 0)));
    for (const q of QUANTITIES) {
      expect(Math.abs(background.noise[q] / drawn[q] - 1), `${q}: ${background.noise[q]}, ${drawn[q]}`).toBeLessThan(
        0.05,
      );
      expect(background.shares[q].reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
    }
  });
});
