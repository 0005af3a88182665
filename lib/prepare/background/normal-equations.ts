/** Sums of the normal equations of least squares, to which rows are added and from which they can be taken again. */
export interface NormalEquations {
  /** Adds a row of terms and its value with a weight; a negative weight takes it away. */
  add(rows: Float64Array, at: number, value: number, weight: number): void;
  /** The coefficients; 0 for columns that depend on those before them. */
  solve(): Float64Array;
}

export const normalEquations = (terms: number): NormalEquations => {
  const gram = new Float64Array(terms * terms);
  const right = new Float64Array(terms);
  return {
    add(rows, at, value, weight) {
      for (let i = 0; i < terms; i++) {
        const row = weight * rows[at + i]!;
        right[i]! += row * value;
        for (let j = 0; j <= i; j++) gram[i * terms + j]! += row * rows[at + j]!;
      }
    },
    solve() {
      const lower = choleskyFactor(gram, terms);
      return substituted(lower, right, terms);
    },
  };
};

/** Σ coefficient · term of one row. */
export const heightOf = (rows: Float64Array, at: number, coefficients: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < coefficients.length; i++) sum += rows[at + i]! * coefficients[i]!;
  return sum;
};

/** A pivot below this share of its diagonal is rounding: the column depends on those before it. */
const DEPENDENT = 1e-12;

/** L of a symmetric matrix, lower half given, with L·Lᵀ equal to it (Golub & Van Loan 4.2.3); dependent columns are 0. */
const choleskyFactor = (matrix: Float64Array, n: number): Float64Array => {
  const l = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    let pivot = matrix[j * n + j]!;
    for (let k = 0; k < j; k++) pivot -= l[j * n + k]! ** 2;
    if (!(pivot > DEPENDENT * matrix[j * n + j]!)) continue;
    const root = Math.sqrt(pivot);
    l[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = matrix[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= l[i * n + k]! * l[j * n + k]!;
      l[i * n + j] = sum / root;
    }
  }
  return l;
};

/** x with L·Lᵀ·x = right. */
const substituted = (l: Float64Array, right: Float64Array, n: number): Float64Array => {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (l[i * n + i] === 0) continue;
    let sum = right[i]!;
    for (let k = 0; k < i; k++) sum -= l[i * n + k]! * x[k]!;
    x[i] = sum / l[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    if (l[i * n + i] === 0) continue;
    for (let k = i + 1; k < n; k++) x[i]! -= l[k * n + i]! * x[k]!;
    x[i]! /= l[i * n + i]!;
  }
  return x;
};
