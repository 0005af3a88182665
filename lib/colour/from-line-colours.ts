import { column, type Matrix, type Triple, transpose } from '../plane/linear.ts';
import { decodeRgb, encodeRgb } from './convert.ts';
import type { Space } from './space.ts';

/** What the numbers that are mixed stand for: display values of the space, or linear light. */
export type MixDomain = 'display' | 'light';

/**
 * The 3 × N weights that give each line its colour at full strength: one column a line.
 * @param colours linear RGB of `space`, one a line, in the order of the channels; values outside [0, 1] are kept
 */
export const matrixFromColours = (colours: readonly Triple[], mixIn: MixDomain, space: Space): number[][] =>
  transpose(mixIn === 'display' ? colours.map((colour) => encodeRgb(colour, space)) : colours);

/** The inverse: linear RGB of each line alone at full strength, from a 3 × N matrix. */
export const coloursFromMatrix = (matrix: Matrix, mixIn: MixDomain, space: Space): Triple[] =>
  (matrix[0] ?? []).map((_, line) => {
    const [r, g, b] = column(matrix, line) as [number, number, number];
    return mixIn === 'display' ? decodeRgb([r, g, b], space) : [r, g, b];
  });
