import type { Settled } from '../recipe/settle/settled.ts';
import type { LedgerPlace } from './ledger.ts';
import { forQuantities, OUTPUTS, outputFunction, QUANTITY_ROWS, type Quantity } from './outputs.ts';
import { normalDeviates } from './random.ts';

/** What drawing the noise, rather than linearising the recipe, finds at one place. */
export interface MonteCarlo {
  readonly draws: number;
  /** Standard deviation of each quantity over the draws. */
  readonly noise: Readonly<Record<Quantity, number>>;
  /** The ledger's noise over the drawn one: 1 where the ledger is right; 0 where nothing varied. */
  readonly ratio: Readonly<Record<Quantity, number>>;
  /** Relative standard error of the drawn noise: 1/√(2(draws − 1)). */
  readonly error: number;
}

/**
 * Draws normal noise for every line at a place of the ledger, carries each draw through the whole recipe and compares
 * the spread with the ledger's first-order figure. The two part where curves bend, or values are cut, within the noise.
 * `draws` ≥ 2. Source: JCGM 102:2011, clause 7.
 */
export const monteCarlo = (settled: Settled, place: LedgerPlace, draws: number, seed = 1): MonteCarlo => {
  const outputs = outputFunction(settled);
  const normal = normalDeviates(seed);
  const centre = place.outputs;
  const sums = new Float64Array(OUTPUTS.length);
  const squares = new Float64Array(OUTPUTS.length);
  for (let n = 0; n < draws; n++) {
    const out = outputs(place.values.map((v, i) => v + place.lineNoise[i]! * normal()));
    for (let k = 0; k < out.length; k++) {
      const d = out[k]! - centre[k]!;
      sums[k]! += d;
      squares[k]! += d * d;
    }
  }
  const variance = Array.from(squares, (s, k) => Math.max(0, (s - sums[k]! ** 2 / draws) / (draws - 1)));
  const noise = forQuantities((q) => Math.sqrt(QUANTITY_ROWS[q].reduce((total, row) => total + variance[row]!, 0)));
  return {
    draws,
    noise,
    ratio: forQuantities((q) => (noise[q] > 0 ? place.noise[q] / noise[q] : 0)),
    error: 1 / Math.sqrt(2 * (draws - 1)),
  };
};
