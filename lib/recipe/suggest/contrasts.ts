import { identity, type Matrix, multiply, transpose } from '../../plane/linear.ts';
import { eigen, mapEigenvalues } from './moments.ts';
import type { LineSample } from './sample.ts';

/**
 * The two contrasts between lines (rows of weights that sum to 0) that differ most in a sample for the noise they carry,
 * uncorrelated, each with a noise of 1. Equal lines give 0 in both: grey.
 * @param variances noise of each line, squared: all 1 counts weights alone
 */
export const leadingContrasts = ({ covariance }: LineSample, variances: readonly number[]): Matrix => {
  const plane = contrastPlane(variances.length);
  const noise = multiply(
    plane.map((row) => row.map((x, i) => x * variances[i]!)),
    transpose(plane),
  );
  const white = multiply(
    mapEigenvalues(noise, (value) => value ** -0.5),
    plane,
  );
  const { vectors } = eigen(multiply(multiply(white, covariance), transpose(white)));
  return multiply(vectors.slice(0, 2), white);
};

/** Orthonormal rows that span all weights of sum 0 (Helmert's). */
const contrastPlane = (lines: number): number[][] =>
  Array.from({ length: lines - 1 }, (_, k) => {
    const length = Math.sqrt((k + 1) * (k + 2));
    return identity(lines)[0]!.map((_, i) => (i <= k ? 1 : i === k + 1 ? -(k + 1) : 0) / length);
  });

/** Weights of sum 1 for lightness with the least noise. */
export const calmestWeights = (variances: readonly number[]): number[] => {
  const total = variances.reduce((sum, v) => sum + 1 / v, 0);
  return variances.map((v) => 1 / v / total);
};
