import { type SurfacePoint, surfacePowers } from './surface.ts';

/** Terms of a polynomial surface, at any place of the frame. */
export interface Basis {
  readonly terms: number;
  /** Writes all terms at (u, v) to `row` from `at` on. */
  into(u: number, v: number, row: Float64Array, at: number): void;
}

/**
 * Products P_i(s)·P_j(t), i + j ≤ order, of Legendre polynomials, s and t running from −1 to 1 over the extent of the
 * points: nearly orthogonal, so that normal equations in them are well conditioned.
 */
export const legendreBasis = (points: readonly SurfacePoint[], order: number): Basis => {
  const s = toExtent(points.map(({ u }) => u));
  const t = toExtent(points.map(({ v }) => v));
  const powers = surfacePowers(order);
  const inS = new Float64Array(order + 1);
  const inT = new Float64Array(order + 1);
  return {
    terms: powers.length,
    into(u, v, row, at) {
      legendre(s(u), inS);
      legendre(t(v), inT);
      for (let k = 0; k < powers.length; k++) row[at + k] = inS[powers[k]![0]]! * inT[powers[k]![1]]!;
    },
  };
};

/** A basis at all points, one row of terms after the other. */
export const termsAt = (basis: Basis, points: readonly SurfacePoint[]): Float64Array => {
  const rows = new Float64Array(points.length * basis.terms);
  for (const [k, { u, v }] of points.entries()) basis.into(u, v, rows, k * basis.terms);
  return rows;
};

/** Brings positions to −1…1 over their range. */
const toExtent = (positions: readonly number[]): ((position: number) => number) => {
  const low = positions.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = positions.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const half = (high - low) / 2 || 1;
  return (position) => (position - (low + high) / 2) / half;
};

/** P_0 … of x: (n + 1)·P_{n+1} = (2n + 1)·x·P_n − n·P_{n−1} (NIST DLMF 18.9.1 and table 18.9.1). */
const legendre = (x: number, into: Float64Array): void => {
  into[0] = 1;
  if (into.length > 1) into[1] = x;
  for (let n = 1; n + 1 < into.length; n++) into[n + 1] = ((2 * n + 1) * x * into[n]! - n * into[n - 1]!) / (n + 1);
};
