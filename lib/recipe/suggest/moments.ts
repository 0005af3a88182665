import { type Matrix, multiply, transpose } from '../../plane/linear.ts';
import { svd } from '../../plane/svd.ts';

/** Mean and population covariance of vectors that lie one after the other. */
export interface Moments {
  readonly mean: readonly number[];
  readonly covariance: Matrix;
}

/** @param values `size` numbers a vector; all finite */
export const momentsOf = (values: ArrayLike<number>, size: number): Moments => {
  const count = values.length / size;
  const mean = new Array<number>(size).fill(0);
  for (let at = 0; at < values.length; at += size) for (let i = 0; i < size; i++) mean[i]! += values[at + i]! / count;
  const covariance = mean.map(() => new Array<number>(size).fill(0));
  for (let i = 0; i < size; i++)
    for (let j = i; j < size; j++) {
      let sum = 0;
      for (let at = 0; at < values.length; at += size)
        sum += ((values[at + i]! - mean[i]!) * (values[at + j]! - mean[j]!)) / count;
      covariance[i]![j] = sum;
    }
  for (let i = 0; i < size; i++) for (let j = 0; j < i; j++) covariance[i]![j] = covariance[j]![i]!;
  return { mean, covariance };
};

/** Eigenvalues, falling, and unit eigenvectors (as rows) of a symmetric matrix without negative eigenvalues. */
export const eigen = (symmetric: Matrix): { readonly values: readonly number[]; readonly vectors: Matrix } => {
  const { values, v } = svd(symmetric);
  return { values, vectors: transpose(v) };
};

/** f of a symmetric matrix without negative eigenvalues: the same eigenvectors, f of each eigenvalue. */
export const mapEigenvalues = (symmetric: Matrix, f: (value: number) => number): number[][] => {
  const { values, vectors } = eigen(symmetric);
  return multiply(
    transpose(vectors),
    vectors.map((row, k) => row.map((x) => x * f(values[k]!))),
  );
};
