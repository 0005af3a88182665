import { orNothing } from '../plane/signed-sum.ts';
import type { Space } from './space.ts';

/** Relative luminance of the linear RGB at rgb[at … at + 2]: CIE Y, 1 for white. */
export const luminanceOf = (rgb: Float64Array, at: number, space: Space): number => {
  const weights = space.luminance;
  return weights[0] * rgb[at]! + weights[1] * rgb[at + 1]! + weights[2] * rgb[at + 2]!;
};

/**
 * Gives a linear RGB colour the luminance `target`, channel ratios kept; in place.
 * A colour without luminance of its own (Y ≤ 0, or so small that the ratio overflows or only rounding is left of it) becomes the grey of `target`.
 * A NaN colour becomes that grey too; a NaN target gives NaN.
 */
export const replaceLuminance = (rgb: Float64Array, at: number, space: Space, target: number): void => {
  const [r, g, b] = space.luminance;
  const sizes = r * Math.abs(rgb[at]!) + g * Math.abs(rgb[at + 1]!) + b * Math.abs(rgb[at + 2]!);
  const own = orNothing(luminanceOf(rgb, at, space), sizes);
  const scale = target / own;
  const scalable = own > 0 && Math.abs(scale) < Number.POSITIVE_INFINITY;
  rgb[at] = scalable ? rgb[at]! * scale : target;
  rgb[at + 1] = scalable ? rgb[at + 1]! * scale : target;
  rgb[at + 2] = scalable ? rgb[at + 2]! * scale : target;
};
