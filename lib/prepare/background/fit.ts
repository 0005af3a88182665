import type { BlockGrid } from '../../plane/block-grid.ts';
import { leastSquares } from '../../plane/least-squares.ts';
import { type Marks, type Reject, robustFitter } from './robust-fit.ts';
import { framePosition, type Surface, type SurfacePoint, surfaceTerms } from './surface.ts';

export interface SurfaceFit {
  readonly surface: Surface;
  /** For each point, whether it took part to the end. */
  readonly used: readonly boolean[];
  /** Root mean square of the residuals of the points used. */
  readonly rms: number;
}

/**
 * Least squares through the points, repeated without the points that are rejected until none is.
 * Rejection stops before fewer than twice as many points as coefficients are left.
 * @param used the points that a robust fit of this order ended with, where it is known
 * @throws RangeError for fewer points than coefficients.
 */
export const fitSurface = (
  points: readonly SurfacePoint[],
  order: number,
  reject: Reject,
  used: Marks = usedBy(points, order, reject),
): SurfaceFit => {
  const chosen = points.filter((_, k) => used[k] === 1);
  const terms = chosen.map(({ u, v }) => surfaceTerms(order, u, v));
  const coefficients = leastSquares(
    terms,
    chosen.map(({ value }) => value),
  );
  const squares = chosen.reduce((sum, { value }, k) => sum + (value - dotted(terms[k]!, coefficients)) ** 2, 0);
  return {
    surface: { order, coefficients },
    used: points.map((_, k) => used[k] === 1),
    rms: Math.sqrt(squares / chosen.length),
  };
};

const usedBy = (points: readonly SurfacePoint[], order: number, reject: Reject): Marks => {
  if (points.length < termCount(order)) throw new RangeError('fewer points than coefficients');
  return robustFitter(points, order).fit(new Uint8Array(points.length).fill(1), reject).used;
};

const dotted = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, k) => sum + x * b[k]!, 0);

/** Coefficients of a surface of this order. */
export const termCount = (order: number): number => ((order + 1) * (order + 2)) / 2;

/** The order of a surface with so many coefficients; undefined where there is none from 1 to 4. */
export const orderOf = (coefficients: number): 1 | 2 | 3 | 4 | undefined =>
  ([1, 2, 3, 4] as const).find((order) => termCount(order) === coefficients);

/** The blocks of a picture as points of the frame. */
export const blockPoints = ({ blocks, width, height }: BlockGrid): SurfacePoint[] =>
  blocks.map(({ x, y, level }) => ({ u: framePosition(x, width), v: framePosition(y, height), value: level }));
