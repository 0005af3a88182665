/**
 * The x that minimizes |A·x − b|, by Householder reflections (Golub & Van Loan, "Matrix Computations", 4th ed., 5.3.2).
 * `rows` are the rows of A, at least as many as columns. Columns that depend on others get the coefficient 0.
 */
export const leastSquares = (rows: readonly (readonly number[])[], b: readonly number[]): number[] => {
  const columns = rows[0]?.length ?? 0;
  const a = rows.map((row) => Float64Array.from(row));
  const right = Float64Array.from(b);
  const largest = Math.max(...a.map((row) => row.reduce((most, v) => Math.max(most, Math.abs(v)), 0)));
  for (let k = 0; k < columns; k++) reflect(a, right, k);
  const x = new Array<number>(columns).fill(0);
  for (let k = columns - 1; k >= 0; k--) {
    const pivot = a[k]?.[k] ?? 0;
    if (Math.abs(pivot) <= 1e-13 * largest * Math.sqrt(a.length)) continue;
    let sum = right[k]!;
    for (let j = k + 1; j < columns; j++) sum -= a[k]![j]! * x[j]!;
    x[k] = sum / pivot;
  }
  return x;
};

/** Brings column k to zero below its diagonal, in place. */
const reflect = (a: readonly Float64Array[], right: Float64Array, k: number): void => {
  let norm = 0;
  for (let i = k; i < a.length; i++) norm = Math.hypot(norm, a[i]![k]!);
  if (norm === 0) return;
  const first = a[k]![k]!;
  const alpha = first > 0 ? -norm : norm;
  const v = a.map((row, i) => (i < k ? 0 : row[k]! - (i === k ? alpha : 0)));
  let square = 0;
  for (let i = k; i < v.length; i++) square += v[i]! * v[i]!;
  if (square === 0) return;
  const columns = a[k]!.length;
  for (let j = k; j <= columns; j++) {
    const get = (i: number) => (j === columns ? right[i]! : a[i]![j]!);
    let dot = 0;
    for (let i = k; i < v.length; i++) dot += v[i]! * get(i);
    const factor = (2 * dot) / square;
    for (let i = k; i < v.length; i++)
      if (j === columns) right[i]! -= factor * v[i]!;
      else a[i]![j]! -= factor * v[i]!;
  }
};
