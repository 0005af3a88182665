import { okDifferenceOf } from '../../colour/difference.ts';
import { SPACES } from '../../colour/spaces.ts';
import { multiplyVector, type Triple } from '../../plane/linear.ts';
import type { Settled } from '../settle/settled.ts';
import { beforeSteps, shownLight } from './before-steps.ts';
import { heldWeights, type Likeness, likenesses } from './held-weights.ts';

/** A place that is to have a colour. */
export interface PlaceToHold {
  /** Stretched strength of each line of the settled mix, 0…1: the mean over the place. */
  readonly strengths: readonly number[];
  /** Linear light of the mix's space; each 0…1. */
  readonly wanted: Triple;
}

/** Colours to be held in a settled mix. */
export interface HoldQuestion {
  readonly settled: Settled;
  readonly places: readonly PlaceToHold[];
  /** Strength of each line in the background, 0…1, which is held grey. */
  readonly sky: readonly number[];
  /** Standard deviation of one pixel of each stretched line in the background. */
  readonly noise: readonly number[];
  /** Pixels that each place is the mean of, as one number for all; > 0. */
  readonly pixels: number;
}

/** A place in the mix with the new weights. */
export interface HeldColour {
  /** Linear light of the mix's space: as asked for, and as the mix shows it. */
  readonly wanted: Triple;
  readonly got: Triple;
  /** ΔEOK between the two; 0.02 is about just noticeable. */
  readonly left: number;
}

/** A place by its index, or the background. */
export type PlaceName = number | 'sky';

/** Why a place does not get its colour. */
export interface Conflict {
  readonly place: PlaceName;
  /** The place whose light is most like its own. */
  readonly like: PlaceName;
  /** Cosine between the strengths of these two: 1 where no weights can tell them apart. */
  readonly cosine: number;
}

/** A weight so large that errors of its line show in the picture. */
export interface LargeWeight {
  readonly channel: string;
  readonly colour: 'red' | 'green' | 'blue';
  readonly weight: number;
}

export interface HeldMix {
  /** Weights to be taken as written: rows red, green, blue; six decimals. */
  readonly weights: readonly (readonly number[])[];
  /** Noise of the mix over what it was before. */
  readonly price: number;
  /** Whether colours were given up to keep the price within 1.5. */
  readonly loosened: boolean;
  readonly places: readonly HeldColour[];
  readonly sky: HeldColour;
  /** Largest cosine between the strengths of two places, the background among them. */
  readonly cosine: number;
  /** The weight farthest from 0, where that is beyond `LARGE_WEIGHT` and farther than any was before. */
  readonly large?: LargeWeight | undefined;
  /** Places, and the background, that miss their colour by more than can be noticed. */
  readonly conflicts: readonly Conflict[];
}

/** ΔEOK that is about just noticeable (B. Ottosson's OKLab as CSS Color 4 uses it: its limit for mapped colours). */
export const NOTICEABLE = 0.02;
/**
 * Weights beyond this, either side of 0, are told: what is left in a line of sky, halos and misfit shows that many times as
 * strongly, however little noise the line has. A choice, not a measurement.
 */
export const LARGE_WEIGHT = 3;
/** Lines without any noise, as invented ones, would make changes free. */
const LEAST_NOISE = 1e-4;

/** Dust of binary fractions would stand in the table. */
const rounded = (weight: number): number => Number(weight.toFixed(6)) + 0;

/**
 * The weights nearest to a mix's own that give places the colours asked for and keep the sky grey: see `heldWeights`.
 * The sky keeps the mean of its three values. A mix without weights (all 0) has no noise to compare with: price Infinity.
 * The order of the places makes no difference.
 * @throws RangeError for no places, or where strengths or noise have not one number a line: a defect of the caller.
 */
export const holdColours = ({ settled, places, sky, noise, pixels }: HoldQuestion): HeldMix => {
  const lines = settled.channels.length;
  if ([sky, noise, ...places.map(({ strengths }) => strengths)].some(({ length }) => length !== lines))
    throw new RangeError('strengths and noise have one number a line');
  if (places.length === 0) throw new RangeError('at least one place is needed');
  const { matrix } = settled;
  const mean = multiplyVector(matrix, sky).reduce((a, b) => a + b, 0) / 3;
  const grey: Triple = [mean, mean, mean];
  const held = [
    ...places.map(({ strengths, wanted }) => ({ strengths, mixed: beforeSteps(settled, wanted, strengths) })),
    { strengths: sky, mixed: grey },
  ];
  const floored = noise.map((s) => Math.max(LEAST_NOISE, s));
  const { weights: exact, price, loosened } = heldWeights({ weights: matrix, places: held, noise: floored, pixels });
  const weights = exact.map((row) => row.map(rounded));
  const shown = shownLight({ ...settled, matrix: weights });
  const space = SPACES[settled.space];
  const judged = (wanted: Triple, strengths: readonly number[]): HeldColour => {
    const got = shown(strengths);
    return { wanted, got, left: okDifferenceOf(wanted, got, space) };
  };
  const found = places.map(({ wanted, strengths }) => judged(wanted, strengths));
  // The same weights in all three rows give the grey that is asked for, whatever the later steps do.
  const even = matrix[0]!.map((_, k) => matrix.reduce((sum, row) => sum + row[k]! / 3, 0));
  const skyFound = judged(shownLight({ ...settled, matrix: [even, even, even] })(sky), sky);
  const alike = likenesses(held);
  const missed = [...found, skyFound].flatMap(({ left }, i) => (left > NOTICEABLE ? [i] : []));
  return {
    weights,
    price,
    loosened,
    places: found,
    sky: skyFound,
    cosine: alike[0]!.cosine,
    large: largeWeight(settled, weights),
    conflicts: missed.map((i) => conflictOf(i, alike, places.length)),
  };
};

const COLOURS = ['red', 'green', 'blue'] as const;

const largeWeight = ({ channels, matrix }: Settled, weights: HeldMix['weights']): LargeWeight | undefined => {
  const all = weights.flatMap((row, r) =>
    row.map((weight, k) => ({ channel: channels[k]!.name, colour: COLOURS[r]!, weight })),
  );
  const largest = all.reduce((most, one) => (Math.abs(one.weight) > Math.abs(most.weight) ? one : most));
  const before = Math.max(...matrix.flat().map(Math.abs));
  return Math.abs(largest.weight) > Math.max(LARGE_WEIGHT, before) ? largest : undefined;
};

const conflictOf = (index: number, alike: readonly Likeness[], skyIndex: number): Conflict => {
  const name = (place: number): PlaceName => (place === skyIndex ? 'sky' : place);
  const { between, cosine } = alike.find(({ between }) => between.includes(index))!;
  return { place: name(index), like: name(between[0] === index ? between[1] : between[0]), cosine };
};
