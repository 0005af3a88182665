import type { BlockGrid } from '../../plane/block-grid.ts';
import { MAD_TO_SIGMA, median } from '../../plane/robust.ts';
import { leastSquares } from '../least-squares.ts';
import { framePosition, type Surface, surfaceTerms, withZeroMean } from './surface.ts';

/** A level at a place of the frame, −1 to 1. */
export interface SurfacePoint {
  readonly u: number;
  readonly v: number;
  readonly value: number;
}

/**
 * What is taken for something other than background: `both` rejects points further than 3 σ on either side; `bright`
 * points more than 2 σ above or 6 σ below, for nebulae and stars only ever add light, with σ from the points below the
 * surface, which they do not touch. σ is 1.4826 × the median absolute residual. (The bounds are our own.)
 */
export type Reject = 'bright' | 'both';

export interface SurfaceFit {
  /** As fitted, its constant included. */
  readonly surface: Surface;
  /** For each point, whether it took part to the end. */
  readonly used: readonly boolean[];
  /** Root mean square of the residuals of the points used. */
  readonly rms: number;
}

const MOST_ROUNDS = 50;

/**
 * Least squares through the points, repeated without the points that are rejected until none is.
 * Rejection stops before fewer than twice as many points as coefficients are left.
 * @throws RangeError for fewer points than coefficients.
 */
export const fitSurface = (points: readonly SurfacePoint[], order: number, reject: Reject): SurfaceFit => {
  const terms = points.map(({ u, v }) => surfaceTerms(order, u, v));
  const count = terms[0]?.length ?? Number.POSITIVE_INFINITY;
  if (points.length < count) throw new RangeError('fewer points than coefficients');
  let used = points.map(() => true);
  for (let round = 0; ; round++) {
    const chosen = points.map((_, k) => k).filter((k) => used[k]);
    const coefficients = leastSquares(
      chosen.map((k) => terms[k]!),
      chosen.map((k) => points[k]!.value),
    );
    const residuals = points.map(({ value }, k) => value - dotted(terms[k]!, coefficients));
    const kept = chosen.map((k) => residuals[k]!);
    const { low, high } = bounds(kept, reject);
    const next = used.map((is, k) => is && residuals[k]! >= low && residuals[k]! <= high);
    const left = next.filter(Boolean).length;
    if (round >= MOST_ROUNDS || left === chosen.length || left < 2 * count)
      return {
        surface: { order, coefficients },
        used,
        rms: Math.sqrt(kept.reduce((sum, r) => sum + r * r, 0) / kept.length),
      };
    used = next;
  }
};

const bounds = (residuals: readonly number[], reject: Reject): { low: number; high: number } => {
  if (reject === 'both') {
    const reach = 3 * MAD_TO_SIGMA * median(residuals.map(Math.abs));
    return { low: -reach, high: reach };
  }
  const below = residuals.filter((r) => r < 0).map((r) => -r);
  const sigma = below.length === 0 ? 0 : MAD_TO_SIGMA * median(below);
  return { low: -6 * sigma, high: 2 * sigma };
};

const dotted = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, k) => sum + x * b[k]!, 0);

/** Coefficients of a surface of this order. */
export const termCount = (order: number): number => ((order + 1) * (order + 2)) / 2;

/** The surface through the blocks of a picture, of mean 0 over the frame. Needs `termCount(order)` blocks. */
export const fitBlocks = (grid: BlockGrid, order: number, reject: Reject): SurfaceFit => {
  const points = grid.blocks.map(({ x, y, level }) => ({
    u: framePosition(x, grid.width),
    v: framePosition(y, grid.height),
    value: level,
  }));
  const fit = fitSurface(points, order, reject);
  return { ...fit, surface: withZeroMean(fit.surface) };
};
