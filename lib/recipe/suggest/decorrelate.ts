import { identity, type Matrix, multiply, multiplyVector } from '../../plane/linear.ts';
import { mapEigenvalues } from './moments.ts';
import { affordable, BUDGET, type Proposal } from './proposal.ts';
import type { LineSample } from './sample.ts';

/** Eigenvalues this far below the largest hold no contrast, only rounding. */
const LEAST = 1e-6;

/**
 * The decorrelation of three lines that leaves equal lines grey: D = s·R·C^(−1/2), with C the covariance of the lines
 * and R the smallest rotation that brings C^(−1/2)·(1, 1, 1) to the grey axis, s so that every row sums to 1. The
 * covariance of D·x is s²·I: diagonal, as in A. R. Gillespie, A. B. Kahle & R. E. Walker, Remote Sensing of Environment
 * 20(3) 209–235, 1986, who turn back by the eigenvectors instead, which tints greys.
 * @param covariance 3 × 3, of full rank but for rounding
 */
export const decorrelation = (covariance: Matrix): number[][] => {
  const floor = Math.max(...covariance.map((row, i) => row[i]!)) * LEAST;
  const white = mapEigenvalues(covariance, (value) => Math.max(value, floor) ** -0.5);
  const grey = multiplyVector(white, [1, 1, 1]);
  const length = Math.hypot(...grey);
  const scale = Math.sqrt(3) / length;
  const turned = multiply(
    rotationTo(
      grey.map((x) => x / length),
      [1, 1, 1].map((x) => x / Math.sqrt(3)),
    ),
    white,
  );
  return turned.map((row) => row.map((x) => x * scale));
};

/** The smallest rotation that takes one unit vector to another (O. Rodrigues 1840); they must not be opposite. */
const rotationTo = (from: readonly number[], to: readonly number[]): number[][] => {
  const cosine = from.reduce((sum, x, i) => sum + x * to[i]!, 0);
  const turn = to.map((t, i) => from.map((f, j) => t * f - from[i]! * to[j]!));
  const twice = multiply(turn, turn);
  return identity(3).map((row, i) => row.map((x, j) => x + turn[i]![j]! + twice[i]![j]! / (1 + cosine)));
};

/** Decorrelation blended with the plain mix of the same three lines, so that it stays calm. */
export const decorrelated = (sample: LineSample): Proposal => {
  const base = identity(3);
  const full = decorrelation(sample.covariance);
  const change = full.map((row, i) => row.map((x, j) => x - base[i]![j]!));
  const value = Math.floor(100 * affordable({ base, change }, sample, BUDGET, 1)) / 100;
  return {
    id: 'decorrelated',
    name: 'Decorrelated',
    why:
      'What the lines have in common is taken back, what they differ in is lifted; at 1 the three colours are fully ' +
      'uncorrelated over these masters, at 0 it is the plain mix.',
    base,
    change,
    knob: { name: 'amount', value, min: 0, max: 1, about: 'share of decorrelation; noise grows with it' },
  };
};
