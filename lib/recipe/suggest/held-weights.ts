import { dot, type Matrix, multiply, multiplyVector, transpose } from '../../plane/linear.ts';
import { svd } from '../../plane/svd.ts';

/** A place whose mixed colour is given. */
export interface HeldPlace {
  /** Stretched strength of each line there, 0…1: the mean over the place. */
  readonly strengths: readonly number[];
  /** Red, green and blue that the weights have to give there, before any later step. */
  readonly mixed: readonly number[];
}

/** What weights are solved from; all numbers finite. */
export interface HeldProblem {
  /** Balanced weights as they are: three rows, a column for each line. */
  readonly weights: Matrix;
  readonly places: readonly HeldPlace[];
  /** Standard deviation of one pixel of each stretched line; all > 0. */
  readonly noise: readonly number[];
  /** Pixels that the strengths of a place are the mean of; > 0. */
  readonly pixels: number;
}

/** Weights that hold the places, and what they cost. */
export interface HeldWeights {
  readonly weights: number[][];
  /** Noise of the mix over what it was before; Infinity where it had none. */
  readonly price: number;
  /** Whether the wishes were loosened to keep the price within the limit. */
  readonly loosened: boolean;
}

/** The noise of the mix may rise by this factor and no more. */
export const MOST_PRICE = 1.5;
/** Halvings of the last factor of two: more than float64 can tell apart. */
const HALVINGS = 50;

/** Root mean square of the noise of red, green and blue, for independent lines. */
export const mixNoise = (weights: Matrix, noise: readonly number[]): number =>
  Math.sqrt(weights.flatMap((row) => row.map((w, k) => (w * noise[k]!) ** 2)).reduce((a, b) => a + b, 0) / 3);

/**
 * The weights nearest to those given that bring every place to its colour.
 *
 * With E the strengths (a column a place), C the colours, S = diag(σ_k / σ_rms) and F = S⁻¹E:
 * W′ = W + (C − WE)(FᵀF + τ²I)⁻¹FᵀS⁻¹, which is least in |(W′ − W)S|² · τ² + |C − W′E|²: a change costs the noise that it
 * brings. τ² starts at N·σ_rms² / pixels, what the noise of N lines leaves uncertain of a place, and rises until the noise
 * of the mix is at most 1.5 times what it was. Places count alike, in any order; more than lines are met by least squares.
 * Source: ridge regression, A. E. Hoerl, R. W. Kennard, Technometrics 12(1) 55–67, 1970, with the noise as its metric.
 */
export const heldWeights = (problem: HeldProblem, most = MOST_PRICE): HeldWeights => {
  const { weights, noise, pixels } = problem;
  const before = mixNoise(weights, noise);
  const priceOf = (changed: Matrix) => (before > 0 ? mixNoise(changed, noise) / before : Number.POSITIVE_INFINITY);
  const variance = noise.reduce((sum, s) => sum + s * s, 0) / noise.length;
  const least = (noise.length * variance) / pixels;
  const at = weightsBy(problem, Math.sqrt(variance));
  let found = at(least);
  const loosened = before > 0 && priceOf(found) > most;
  if (loosened) {
    let [low, high] = [Math.log(least), Math.log(least)];
    // This ends: as τ² grows, the change vanishes, and with it all that it costs.
    for (; priceOf(at(Math.exp(high))) > most; high += Math.LN2) low = high;
    for (let round = 0; round < HALVINGS; round++) {
      const middle = (low + high) / 2;
      if (priceOf(at(Math.exp(middle))) > most) low = middle;
      else high = middle;
    }
    found = at(Math.exp(high));
  }
  return { weights: found, price: priceOf(found), loosened };
};

/** W′ for any τ²: (FᵀF + τ²I)⁻¹Fᵀ = V · s/(s² + τ²) · Uᵀ from one decomposition F = U · s · Vᵀ. */
const weightsBy = ({ weights, places, noise }: HeldProblem, unit: number) => {
  const scale = noise.map((s) => s / unit);
  const strengths = transpose(places.map((place) => place.strengths));
  const { u, values, v } = svd(strengths.map((row, k) => row.map((e) => e / scale[k]!)));
  const missing = transpose(
    places.map(({ strengths: e, mixed }) => multiplyVector(weights, e).map((have, band) => mixed[band]! - have)),
  );
  const turned = multiply(missing, v);
  const back = u.map((row, k) => row.map((x) => x / scale[k]!));
  return (ridge: number): number[][] => {
    const shrunk = values.map((s) => s / (s * s + ridge));
    return weights.map((row, band) =>
      row.map((w, k) => w + back[k]!.reduce((sum, x, i) => sum + turned[band]![i]! * shrunk[i]! * x, 0)),
    );
  };
};

/** Two places and how alike their light is. */
export interface Likeness {
  /** Places by their index. */
  readonly between: readonly [number, number];
  /** Cosine between their strengths: 1 where they differ by brightness alone, and no weights can tell their hues apart. */
  readonly cosine: number;
}

/** How alike every two places are, the most alike first; a place without light is like none. */
export const likenesses = (places: readonly Pick<HeldPlace, 'strengths'>[]): Likeness[] => {
  const unit = places.map(({ strengths }) => {
    const length = Math.sqrt(dot(strengths, strengths));
    return strengths.map((e) => (length > 0 ? e / length : 0));
  });
  const pairs = unit.flatMap((one, i) =>
    unit.slice(0, i).map((other, j): Likeness => ({ between: [j, i], cosine: dot(other, one) })),
  );
  return pairs.sort((a, b) => b.cosine - a.cosine);
};
