import { SPACES } from '../../colour/spaces.ts';
import { BALANCES } from '../../mix/balance.ts';
import type { Matrix } from '../../plane/linear.ts';
import type { WrittenRecipe } from '../written/schema.ts';
import { noiseOf, outsideOf } from './judge.ts';
import type { LineSample } from './sample.ts';

/** A mix with one knob: weights = base + knob · change. The rows of `base` sum to 1, those of `change` to 0. */
export interface Proposal {
  /** Name of a file, without its ending. */
  readonly id: string;
  readonly name: string;
  /** Why it fits these masters: one or two sentences. */
  readonly why: string;
  readonly base: Matrix;
  readonly change: Matrix;
  readonly knob: {
    readonly name: string;
    readonly value: number;
    readonly min: number;
    readonly max: number;
    readonly about: string;
  };
  /** Gain on chroma after the mix; absent for none. */
  readonly gain?: number;
}

/** What a proposal may cost. */
export interface Budget {
  /** Largest noise, of equal lines and on the screen, relative to a plain mix. */
  readonly noise: number;
  /** Largest distance by which the mix may leave 0…1, averaged over the sample. */
  readonly excess: number;
}

/** Just within one and a half times the noise of a plain mix, when rounded. */
export const BUDGET: Budget = { noise: 1.45, excess: 0.01 };

export const weightsAt = ({ base, change }: Pick<Proposal, 'base' | 'change'>, knob: number): number[][] =>
  base.map((row, r) => row.map((w, c) => w + knob * change[r]![c]!));

/** The largest knob up to `most` that a budget allows, by bisection: noise and gamut both grow with the change. */
export const affordable = (
  parts: Pick<Proposal, 'base' | 'change'>,
  sample: LineSample,
  budget: Budget,
  most: number,
): number => {
  const fits = (knob: number) => {
    const matrix = weightsAt(parts, knob);
    const { noise, screenNoise } = noiseOf(matrix, sample.noise);
    return noise <= budget.noise && screenNoise <= budget.noise && outsideOf(matrix, sample).excess <= budget.excess;
  };
  if (fits(most)) return most;
  let [low, high] = [0, most];
  for (let round = 0; round < 16; round++) {
    const middle = (low + high) / 2;
    if (fits(middle)) low = middle;
    else high = middle;
  }
  return low;
};

const rounded = (value: number, digits = 3): number => Number(value.toFixed(digits)) + 0;

/** A weight as a recipe writes it: a number, or an expression over the knob. */
const weightText = (base: number, change: number, knob: string): number | string => {
  const [fixed, slope] = [rounded(base), rounded(change)];
  if (slope === 0) return fixed;
  const term = `${Math.abs(slope) === 1 ? '' : `${Math.abs(slope)} * `}${knob}`;
  if (fixed === 0) return slope < 0 ? `-${term}` : term;
  return `${fixed} ${slope < 0 ? '-' : '+'} ${term}`;
};

/** The recipe of a proposal for the named channels. */
export const recipeOf = (proposal: Proposal, channels: readonly string[], about: string): WrittenRecipe => {
  const { name, knob, base, change, gain } = proposal;
  return {
    name,
    about,
    licence: 'CC0-1.0',
    channels: [...channels],
    knobs: { [knob.name]: { value: knob.value, min: knob.min, max: knob.max, about: knob.about } },
    matrix: base.map((row, r) => row.map((w, c) => weightText(w, change[r]![c]!, knob.name))),
    balance: 'rows',
    ...(gain !== undefined && { finish: { chroma: { gain } } }),
  };
};

/** The weights that this recipe has at its knob's value, rounded as they are written, after its balance. */
export const writtenWeights = ({ base, change, knob }: Proposal): number[][] => {
  const round = (matrix: Matrix) => matrix.map((row) => row.map((w) => rounded(w)));
  const weights = weightsAt({ base: round(base), change: round(change) }, knob.value);
  const result = BALANCES.rows.apply(weights, { luminance: SPACES.srgb.luminance });
  if ('fault' in result) throw new RangeError(result.fault);
  return result.weights;
};
