import { multiplyVector, type Triple } from '../plane/linear.ts';
import type { Space } from './space.ts';

// CIE 15:2004, section 8.2.1, with the exact fractions for the join of the cube root and the straight piece.
const JOIN = 216 / 24389;
const SLOPE = 24389 / 27;

const response = (ratio: number): number => (ratio > JOIN ? Math.cbrt(ratio) : (SLOPE * ratio + 16) / 116);

/**
 * Linear RGB to CIE 1976 L*a*b* against the space's own white (D65), without chromatic adaptation.
 * L* 0 … 100 for colours in gamut; a*, b* about ±130. Any finite input; NaN gives NaN.
 */
export const rgbToLab = (rgb: Triple, space: Space): Triple => {
  const [x, y, z] = multiplyVector(space.toXyz, rgb).map((value, i) => response(value / space.white[i]!)) as [
    number,
    number,
    number,
  ];
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
};
