import { MAD_TO_SIGMA, median } from '../../plane/robust.ts';
import { quickMedian } from '../../plane/select.ts';
import { legendreBasis, termsAt } from './legendre.ts';
import { heightOf, type NormalEquations, normalEquations } from './normal-equations.ts';
import type { SurfacePoint } from './surface.ts';

/**
 * Which points are rejected as no background: `both` rejects points further than 3 σ on either side; `bright`
 * points more than 2 σ above or 6 σ below, for nebulae and stars only ever add light, with σ from the points below the
 * surface, which they do not touch. σ is 1.4826 × the median absolute residual. (The bounds are our own.)
 */
export type Reject = 'bright' | 'both';

/** Points by index: 1 for those meant, 0 for the others. */
export type Marks = Uint8Array;

export interface RobustFit {
  /** The points that took part to the end. */
  readonly used: Marks;
  /** Height of the surface at a place of the frame. */
  at(u: number, v: number): number;
}

/** Fits polynomials of one order to subsets of the same points; made for hundreds of fits. */
export interface RobustFitter {
  readonly order: number;
  /** Coefficients of a surface. */
  readonly terms: number;
  /**
   * Least squares through the points of `start`, repeated without the points that are rejected until none is. Rejection
   * stops before fewer than twice as many points as coefficients are left.
   */
  fit(start: Marks, reject: Reject): RobustFit;
}

export const robustFitter = (points: readonly SurfacePoint[], order: number): RobustFitter => {
  const basis = legendreBasis(points, order);
  // Sums keep more of their digits about the middle of the values.
  const middle = median(points.map(({ value }) => value));
  const table: Table = {
    terms: basis.terms,
    rows: termsAt(basis, points),
    values: Float64Array.from(points, ({ value }) => value - middle),
    residuals: new Float64Array(points.length),
    scratch: new Float64Array(points.length),
  };
  return {
    order,
    terms: basis.terms,
    fit(start, reject) {
      const { used, coefficients } = fitRows(table, start, reject);
      const here = new Float64Array(basis.terms);
      const at = (u: number, v: number): number => {
        basis.into(u, v, here, 0);
        return middle + heightOf(here, 0, coefficients);
      };
      return { used, at };
    },
  };
};

/** Points as rows of terms and their values. */
interface Table {
  readonly terms: number;
  readonly rows: Float64Array;
  readonly values: Float64Array;
  /** Room that every fit uses again. */
  readonly residuals: Float64Array;
  readonly scratch: Float64Array;
}

const MOST_ROUNDS = 50;

/** A rejected point is taken out of the sums instead of adding up all others again. */
const fitRows = ({ terms, rows, values, residuals, scratch }: Table, start: Marks, reject: Reject) => {
  const used = start.slice();
  const sums = normalEquations(terms);
  const chosen = new Int32Array(values.length);
  let count = 0;
  for (let k = 0; k < used.length; k++)
    if (used[k] === 1) {
      chosen[count++] = k;
      sums.add(rows, k * terms, values[k]!, 1);
    }
  for (let round = 0; ; round++) {
    const coefficients = sums.solve();
    for (let i = 0; i < count; i++)
      residuals[i] = values[chosen[i]!]! - heightOf(rows, chosen[i]! * terms, coefficients);
    const { low, high } = bounds(residuals, count, reject, scratch);
    let kept = 0;
    for (let i = 0; i < count; i++) if (residuals[i]! >= low && residuals[i]! <= high) kept++;
    if (round >= MOST_ROUNDS || kept === count || kept < 2 * terms) return { used, coefficients };
    for (let i = 0, next = 0; i < count; i++) {
      const k = chosen[i]!;
      if (residuals[i]! >= low && residuals[i]! <= high) {
        chosen[next++] = k;
        continue;
      }
      used[k] = 0;
      sums.add(rows, k * terms, values[k]!, -1);
    }
    count = kept;
  }
};

const bounds = (
  residuals: Float64Array,
  count: number,
  reject: Reject,
  scratch: Float64Array,
): { low: number; high: number } => {
  if (reject === 'bright') {
    const sigma = sigmaBelow(residuals, count, scratch);
    return { low: -6 * sigma, high: 2 * sigma };
  }
  for (let i = 0; i < count; i++) scratch[i] = Math.abs(residuals[i]!);
  const reach = 3 * MAD_TO_SIGMA * quickMedian(scratch, count);
  return { low: -reach, high: reach };
};

/** 1.4826 × the median depth of the residuals below 0, which nebulae and stars do not touch; 0 for none. */
export const sigmaBelow = (
  residuals: Float64Array,
  count = residuals.length,
  scratch: Float64Array = new Float64Array(count),
): number => {
  let below = 0;
  for (let i = 0; i < count; i++) if (residuals[i]! < 0) scratch[below++] = -residuals[i]!;
  return below === 0 ? 0 : MAD_TO_SIGMA * quickMedian(scratch, below);
};

const PASSES = 20;

/**
 * Residuals of all points about the surface with the least sum of absolute residuals, which fewer than half of the points
 * cannot pull away: least squares with weights 1/|residual|, repeated (E. J. Schlossmacher, "An Iterative Technique for
 * Absolute Deviations Curve Fitting", J. Amer. Statist. Assoc. 68:857, 1973).
 */
export const leastAbsoluteResiduals = (points: readonly SurfacePoint[], order: number): Float64Array => {
  const basis = legendreBasis(points, order);
  const rows = termsAt(basis, points);
  const middle = median(points.map(({ value }) => value));
  const values = Float64Array.from(points, ({ value }) => value - middle);
  const residuals = values.slice();
  for (let pass = 0; pass < PASSES; pass++) {
    // A point on the surface would have all the weight: none has more than this.
    const least = 1e-3 * quickMedian(residuals.map(Math.abs)) || Number.MIN_VALUE;
    const sums: NormalEquations = normalEquations(basis.terms);
    for (let k = 0; k < values.length; k++)
      sums.add(rows, k * basis.terms, values[k]!, 1 / Math.max(least, Math.abs(residuals[k]!)));
    const coefficients = sums.solve();
    for (let k = 0; k < values.length; k++) residuals[k] = values[k]! - heightOf(rows, k * basis.terms, coefficients);
  }
  return residuals;
};
