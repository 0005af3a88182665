import { segmentAt, splineThrough } from '../stretch/points.ts';
import type { Finish } from './finish.ts';

/**
 * T(L)/L, by which a tone curve scales lightness and chroma alike. Lightness below 0 counts as 0, above 1 as 1; at black the
 * ratio is the slope of the curve. NaN gives NaN.
 */
export const toneRatio = (points: NonNullable<Finish['tone']>): ((lightness: number) => number) => {
  const { x, y, m } = splineThrough({ points });
  return (lightness) => {
    const l = Math.min(1, Math.max(0, lightness));
    const i = segmentAt(x, l);
    const h = x[i + 1]! - x[i]!;
    const u = (l - x[i]!) / h;
    const v = 1 - u;
    // The first piece begins at (0, 0): divided by its lightness, it is a parabola.
    if (i === 0) return v * v * m[0]! + u * ((3 - 2 * u) * (y[1]! / h) - v * m[1]!);
    const rise = v * v * (1 + 2 * u) * y[i]! + u * u * (3 - 2 * u) * y[i + 1]!;
    return (rise + u * v * h * (v * m[i]! - u * m[i + 1]!)) / l;
  };
};
