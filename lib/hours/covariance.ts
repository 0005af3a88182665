import { type Matrix, multiply, transpose } from '../plane/linear.ts';

/**
 * Covariance of outputs from the covariance of inputs, to first order: U_y = J · U_x · Jᵀ.
 * `jacobian` has a row for each output and a column for each input. Exact for linear outputs.
 * Source: JCGM 102:2011, 6.2.1.3 (explicit multivariate model).
 */
export const propagate = (jacobian: Matrix, inputs: Matrix): number[][] =>
  multiply(multiply(jacobian, inputs), transpose(jacobian));

/** The covariance of independent inputs with these standard deviations. */
export const independent = (deviations: readonly number[]): number[][] =>
  deviations.map((s, i) => deviations.map((_, j) => (i === j ? s * s : 0)));

/** Standard deviations: the roots of the diagonal. */
export const deviationsOf = (covariance: Matrix): number[] => covariance.map((row, i) => Math.sqrt(row[i]!));

/** Correlation coefficients; 0 between outputs of which one does not vary. */
export const correlationOf = (covariance: Matrix): number[][] => {
  const s = deviationsOf(covariance);
  return covariance.map((row, i) => row.map((v, j) => (s[i]! > 0 && s[j]! > 0 ? v / (s[i]! * s[j]!) : 0)));
};
