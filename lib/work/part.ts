import type { Box } from '../plane/box.ts';

/** What is looked at: all of the picture, its longest side so many pixels, or a box of it pixel for pixel. */
export type Part =
  | { readonly longest: number; readonly box?: undefined }
  | { readonly box: Box; readonly longest?: number | undefined };
