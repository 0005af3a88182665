import type { Scratch } from '../../plane/scratch.ts';
import { fastMeans } from './fast-means.ts';
import { type Means, meanFor, plainMeans } from './means.ts';
import type { Size } from './size.ts';

export type { Size };

let made: Means | undefined;

/**
 * A plane smoothed by about a Gaussian: three running means whose ends have a weight of their own, so that the variance is
 * right for any width (Gwosdek, Grewenig, Bruhn & Weickert 2011, Scale Space and Variational Methods, LNCS 6667:447). What
 * lies outside counts as 0.
 * @param into may be `from`
 */
export const blurOnce = (from: Float32Array, size: Size, sigma: number, into: Float32Array): Float32Array => {
  made ??= fastMeans() ?? plainMeans;
  made(from, into, size, meanFor(sigma));
  return into;
};

/** Two planes multiplied, value by value. */
export const product = (a: Float32Array, b: Float32Array, both = new Float32Array(a.length)): Float32Array => {
  for (let i = 0; i < both.length; i++) both[i] = a[i]! * b[i]!;
  return both;
};

/** Weights below this count as none. */
const LEAST = 1e-3;

/** A plane smoothed where it has weight: values · weights over weights, both smoothed. */
export const blurWeighted = (
  values: Float32Array,
  weights: Float32Array,
  size: Size,
  sigma: number,
  scratch: Scratch,
): Float32Array => {
  const above = product(values, weights);
  blurOnce(above, size, sigma, above);
  const below = blurOnce(weights, size, sigma, scratch.floats('blurred weights', weights.length));
  for (let i = 0; i < above.length; i++) above[i] = above[i]! / Math.max(LEAST, below[i]!);
  return above;
};
