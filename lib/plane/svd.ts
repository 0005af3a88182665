import { dot, identity, type Matrix, transpose } from './linear.ts';

/** a = u · diag(values) · vᵀ, with `values` falling and ≥ 0. */
export interface Svd {
  /** Rows × k with orthonormal columns (zero columns where the singular value is 0), k = the smaller side of `a`. */
  readonly u: Matrix;
  readonly values: readonly number[];
  /** Columns × k with orthonormal columns. */
  readonly v: Matrix;
}

const MAX_SWEEPS = 60;

/**
 * Singular value decomposition of a small matrix by one-sided Jacobi rotations (M. Hestenes, Inversion of matrices by
 * biorthogonalization, J. SIAM 6(1) 51–90, 1958), which keeps small singular values to full relative precision.
 * Any shape, any rank; entries must be finite.
 */
export const svd = (a: Matrix): Svd => {
  if (a.length >= (a[0]?.length ?? 0)) return svdTall(a);
  const { u, values, v } = svdTall(transpose(a));
  return { u: v, values, v: u };
};

const svdTall = (a: Matrix): Svd => {
  // Entries near 1, so that their squares neither vanish nor overflow.
  const scale = Math.max(...a.flat().map(Math.abs)) || 1;
  const columns = transpose(a).map((entries) => entries.map((x) => x / scale));
  const turns = identity(columns.length);
  let turned = true;
  for (let sweep = 0; turned && sweep < MAX_SWEEPS; sweep++) {
    turned = false;
    for (let i = 0; i < columns.length - 1; i++)
      for (let j = i + 1; j < columns.length; j++) turned = rotate(columns, turns, i, j) || turned;
  }
  const lengths = columns.map((c) => Math.sqrt(dot(c, c)));
  const order = lengths.map((_, i) => i).sort((i, j) => lengths[j]! - lengths[i]!);
  return {
    u: transpose(order.map((i) => columns[i]!.map((x) => (lengths[i]! > 0 ? x / lengths[i]! : 0)))),
    values: order.map((i) => lengths[i]! * scale),
    v: transpose(order.map((i) => turns[i]!)),
  };
};

/** Makes columns i and j orthogonal; false where they are so already. */
const rotate = (columns: number[][], turns: number[][], i: number, j: number): boolean => {
  const p = columns[i]!;
  const q = columns[j]!;
  const pp = dot(p, p);
  const qq = dot(q, q);
  const pq = dot(p, q);
  if (Math.abs(pq) <= Number.EPSILON * Math.sqrt(pp) * Math.sqrt(qq)) return false;
  const zeta = (qq - pp) / (2 * pq);
  const tangent = (zeta < 0 ? -1 : 1) / (Math.abs(zeta) + Math.hypot(1, zeta));
  const cosine = 1 / Math.hypot(1, tangent);
  turn(p, q, cosine, cosine * tangent);
  turn(turns[i]!, turns[j]!, cosine, cosine * tangent);
  return true;
};

const turn = (p: number[], q: number[], cosine: number, sine: number): void => {
  for (let k = 0; k < p.length; k++) {
    const x = p[k]!;
    p[k] = cosine * x - sine * q[k]!;
    q[k] = sine * x + cosine * q[k]!;
  }
};

/** The smallest number whose inverse is finite. */
const LEAST = 2 ** -1022;

/** Singular values at or below this count as zero: rounding of the largest, as in the usual definition of numerical rank. */
const threshold = (values: readonly number[], size: number): number =>
  Math.max(LEAST, size * Number.EPSILON * (values[0] ?? 0));

const sideOf = (a: Matrix): number => Math.max(a.length, a[0]?.length ?? 0);

/** How many directions of output a matrix reaches. */
export const rankOf = (a: Matrix): number => {
  const { values } = svd(a);
  const least = threshold(values, sideOf(a));
  return values.filter((value) => value > least).length;
};

/**
 * Condition number in the 2-norm: by how much relative errors can grow when the matrix is undone. 1 is best;
 * Infinity where the matrix has not full rank.
 */
export const conditionOf = (a: Matrix): number => {
  const { values } = svd(a);
  const smallest = values.at(-1) ?? 0;
  return smallest > threshold(values, sideOf(a)) ? values[0]! / smallest : Number.POSITIVE_INFINITY;
};

/** Moore–Penrose pseudo-inverse: the least-squares, least-norm way back. Exists for every matrix of any rank. */
export const pseudoInverse = (a: Matrix): number[][] => {
  const { u, values, v } = svd(a);
  const least = threshold(values, sideOf(a));
  const inverse = values.map((value) => (value > least ? 1 / value : 0));
  const scaled = v.map((row) => row.map((x, k) => x * inverse[k]!));
  return scaled.map((row) => u.map((other) => dot(row, other)));
};
