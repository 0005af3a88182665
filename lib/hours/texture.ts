import { median } from '../plane/robust.ts';
import { areaOf, type FittedNoise, fitNoise, INDEPENDENT, NEBULOUS, type NoiseCorrelation } from './correlation.ts';
import type { Place } from './place.ts';
import { powerOfCells, powerShape } from './power.ts';

/** How the noise of one line is correlated from pixel to pixel. */
export interface Texture {
  /** Noise seen between direct neighbours: that of a pixel where neighbours are independent, less where they go together. */
  readonly fine: number;
  /** Standard deviation of one pixel. */
  readonly pixel: number;
  /** Correlation of direct neighbours, the mean of both directions; 0 where they are independent. */
  readonly neighbours: number;
  /** False where nebula hides how neighbours go together, and they are taken to be independent. */
  readonly known: boolean;
  /** True where neighbours go together, as in a master that was resampled or drizzled. */
  readonly correlated: boolean;
  /** Noise of the mean of n pixels of a large area is pixel · area / √n. */
  readonly area: number;
  readonly correlation: NoiseCorrelation;
}

const independent = (fine: number, known = true): Texture => ({
  known,
  fine,
  pixel: fine,
  neighbours: 0,
  correlated: false,
  area: 1,
  correlation: INDEPENDENT,
});

/** Correlations below this, and below four standard errors, are taken for chance. */
const CHANCE = 0.03;
/** Share of a cell's pixels that speak for a correlation, after the window and the lost low frequencies. */
const SPEAKING = 0.25;

/** The texture for noise between direct neighbours, and the noise relative to it that was fitted to `pixels` pixels. */
export const textureOf = (fine: number, fitted?: FittedNoise, pixels = 0): Texture => {
  if (fitted === undefined) return independent(fine);
  const { variance, correlation, nebula } = fitted;
  const { across, down, falling, rising } = correlation;
  const chance = Math.max(CHANCE, 4 / Math.sqrt(SPEAKING * pixels)) * (nebula > NEBULOUS ? 2 : 1);
  const near = [across[1] ?? 0, down[1] ?? 0, falling, rising];
  if (near.every((r) => Math.abs(r) < chance)) return independent(fine);
  const pixel = fine * Math.sqrt(variance);
  const neighbours = (near[0]! + near[1]!) / 2;
  return {
    fine,
    pixel,
    neighbours,
    known: true,
    correlated: true,
    area: areaOf(correlation),
    correlation,
  };
};

/** Smallest side of a cell, and least of them, that tell how pixels go together. */
const SMALLEST_SIDE = 16;
const FEWEST = 9;
/** Calm is what has at most so many times the structure of the place at this share of all; at least so many count. */
const CALM = 2.5;
const CALMEST = 0.01;
const CALM_ENOUGH = 64;
const MOST_CALM = 1024;

/**
 * Texture of a picture whose squares of `side` pixels were looked at; `near` of them, the first, stand for the background.
 * Noise between direct neighbours is the median over these. How pixels go together does not depend on
 * brightness, so that is fitted to the mean power of the calm ones of all, relative to their own noise.
 * Independent where the places are too small or too few.
 */
export const textureOfPlaces = (places: readonly Place[], near: number, side: number): Texture => {
  const fine = median(places.slice(0, near).map((place) => place.fine));
  if (side < SMALLEST_SIDE || places.length < FEWEST) return textureOf(fine);
  const power = powerOfCells(side);
  const shape = powerShape(side);
  const mean = new Float64Array(shape.frequency.length);
  let [count, squares] = [0, 0];
  for (const place of calmOf(places).slice(0, MOST_CALM)) {
    const found = power(place);
    if (found === undefined) continue;
    for (let i = 0; i < mean.length; i++) mean[i]! += found[i]!;
    squares += place.fine ** 2;
    count++;
  }
  if (count < FEWEST || squares === 0) return textureOf(fine);
  const fitted = fitNoise(
    mean.map((p) => p / squares),
    shape,
  );
  return fitted === undefined ? independent(fine, false) : textureOf(fine, fitted, count * side * side);
};

/** The places with least structure, calmest first. */
const calmOf = (places: readonly Place[]): Place[] => {
  const rising = places.toSorted((a, b) => a.structure - b.structure);
  const limit = CALM * (rising[Math.floor(CALMEST * rising.length)]?.structure ?? 0);
  return rising.filter(({ structure }, i) => i < CALM_ENOUGH || structure <= limit);
};
