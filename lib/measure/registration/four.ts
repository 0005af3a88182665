/** Symmetric 4 × 4 matrices: shift, growth and turn of a similarity. Rows of numbers. */
export type Matrix4 = readonly (readonly number[])[];

export const sumOuter = (matrices: readonly Matrix4[]): number[][] =>
  [0, 1, 2, 3].map((i) => [0, 1, 2, 3].map((k) => matrices.reduce((sum, m) => sum + m[i]![k]!, 0)));

/** Eigenvalues and eigenvectors (columns) of a symmetric matrix, by Jacobi's rotations (Crelle 30, 51–94, 1846). */
export const eigen4 = (matrix: Matrix4): { values: number[]; vectors: number[][] } => {
  const m = matrix.map((row) => [...row]);
  const vectors = m.map((_, i) => m.map((__, k) => (i === k ? 1 : 0)));
  for (let sweep = 0; sweep < 30; sweep++) {
    let off = 0;
    for (let p = 0; p < 3; p++)
      for (let q = p + 1; q < 4; q++) {
        off += Math.abs(m[p]![q]!);
        rotate(m, vectors, p, q);
      }
    if (off === 0) break;
  }
  return { values: m.map((row, i) => row[i]!), vectors };
};

/** Turns the plane of p and q so that m[p][q] vanishes. */
const rotate = (m: number[][], vectors: number[][], p: number, q: number): void => {
  const apq = m[p]![q]!;
  if (apq === 0) return;
  const theta = (m[q]![q]! - m[p]![p]!) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (const row of m) [row[p], row[q]] = [c * row[p]! - s * row[q]!, s * row[p]! + c * row[q]!];
  for (let k = 0; k < 4; k++) {
    const [mp, mq] = [m[p]![k]!, m[q]![k]!];
    m[p]![k] = c * mp - s * mq;
    m[q]![k] = s * mp + c * mq;
  }
  m[p]![q] = 0;
  m[q]![p] = 0;
  for (const row of vectors) [row[p], row[q]] = [c * row[p]! - s * row[q]!, s * row[p]! + c * row[q]!];
};

/**
 * x with H·x = g for a matrix that is negative definite near a peak. Where it is not, it is lowered until it is, so that
 * −x still leads uphill.
 */
export const solve4 = (h: Matrix4, g: readonly number[]): { solution: number[]; definite: boolean } => {
  const { values, vectors } = eigen4(h);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const definite = most < 0;
  const lowered = definite ? 0 : most + 0.1 * Math.abs(least) + Number.MIN_VALUE;
  const along = values.map((value, k) => {
    const projected = vectors.reduce((sum, row, i) => sum + row[k]! * g[i]!, 0);
    return projected / (value - lowered);
  });
  return { solution: vectors.map((row) => row.reduce((sum, v, k) => sum + v * along[k]!, 0)), definite };
};
