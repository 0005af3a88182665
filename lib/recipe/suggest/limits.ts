import type { Matrix } from '../../plane/linear.ts';
import { noiseOf } from './judge.ts';
import { along, type Look, lookOf, skyChroma } from './look.ts';
import type { Populations } from './populations.ts';
import type { LineSample } from './sample.ts';

/** What a suggested mix may cost. */
export const LIMITS = {
  /** Chroma noise of the sky; that of the best plain order where it is more. */
  sky: 0.01,
  /** Share of the pixels that leave the space before the finish, and after it. */
  outside: 0.01,
  outsideAfter: 0.02,
  /** Stars on the axis from magenta to green, and from blue to amber. */
  green: 0.03,
  amber: 0.1,
  /** Root mean square of the norms of the rows. */
  norm: 2.2,
} as const;

/** Hues of the two axes that stars are held to. */
export const [GREEN, AMBER] = [145, 62] as const;

/** What is looked at for one set of masters. */
export interface Field {
  readonly sample: LineSample;
  readonly populations: Populations;
  /** Chroma noise that the sky may have. */
  readonly sky: number;
}

/** A matrix with all that limits and aims ask of it. */
export interface Judged extends Look {
  readonly matrix: Matrix;
  readonly sky: number;
  readonly norm: number;
}

export const judgedOf = (matrix: Matrix, { sample, populations }: Omit<Field, 'sky'>): Judged => ({
  ...lookOf(matrix, populations, sample.stars),
  matrix,
  sky: skyChroma(matrix, sample.skyNoise),
  norm: noiseOf(matrix, sample.noise).noise,
});

/** Whether a mix keeps to the limits before its finish. */
export const keeps = ({ sky, outside, stars, norm }: Judged, field: Field): boolean =>
  sky <= field.sky && outside <= LIMITS.outside && starsKeep(stars) && norm <= LIMITS.norm;

export const starsKeep = (stars: Look['stars']): boolean =>
  stars === undefined ||
  (Math.abs(along(stars, GREEN)) <= LIMITS.green && Math.abs(along(stars, AMBER)) <= LIMITS.amber);

/** What everybody wants more of: lines apart, and the plane of colours used. */
export const worth = ({ apart, spread }: Pick<Look, 'apart' | 'spread'>): number => apart + 0.3 * Math.sqrt(spread);
