import type { Triple } from '../plane/linear.ts';
import { TRANSFERS } from './transfer.ts';

/** WCAG 2.2, "relative luminance", of encoded sRGB in [0, 1]; the standard prints four digits of the weights. */
export const relativeLuminance = (rgb: Triple): number => {
  const { decode } = TRANSFERS.srgb;
  return 0.2126 * decode(rgb[0]) + 0.7152 * decode(rgb[1]) + 0.0722 * decode(rgb[2]);
};

/** WCAG 2.2, "contrast ratio", of two encoded sRGB colours: 1 (equal) to 21 (black on white), in either order. */
export const contrastRatio = (one: Triple, other: Triple): number => {
  const a = relativeLuminance(one) + 0.05;
  const b = relativeLuminance(other) + 0.05;
  return a > b ? a / b : b / a;
};
