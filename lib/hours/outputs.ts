import { luminanceOf } from '../colour/luminance.ts';
import { rgbToOklab } from '../colour/oklab.ts';
import { SPACES } from '../colour/spaces.ts';
import { pixelFunction } from '../recipe/settle/pixel.ts';
import type { Settled } from '../recipe/settle/settled.ts';

/** What is watched of one output pixel, in this order. */
export const OUTPUTS = ['red', 'green', 'blue', 'luminance', 'lightness', 'a', 'b'] as const;

/**
 * What noise is reported in, each as the rows of OUTPUTS whose variances it sums:
 * display values of red, green and blue; `luminance`: relative luminance Y in linear light; `lightness`: OKLab L;
 * `chroma`: OKLab a and b together; `colour`: the three display values together (the trace of their covariance).
 */
export const QUANTITY_ROWS: Readonly<Record<Quantity, readonly number[]>> = {
  red: [0],
  green: [1],
  blue: [2],
  luminance: [3],
  lightness: [4],
  chroma: [5, 6],
  colour: [0, 1, 2],
};

export const QUANTITIES = ['red', 'green', 'blue', 'luminance', 'lightness', 'chroma', 'colour'] as const;

/** What noise can be told of: see `QUANTITY_ROWS`. */
export type Quantity = (typeof QUANTITIES)[number];

/** One value for every quantity. */
export const forQuantities = <T>(make: (quantity: Quantity) => T): Record<Quantity, T> =>
  Object.fromEntries(QUANTITIES.map((q) => [q, make(q)])) as Record<Quantity, T>;

/** Physical values by settled channel → the values named in OUTPUTS. */
export type OutputFunction = (physical: ArrayLike<number>) => Float64Array;

/** The outputs as a function of one pixel. Every call returns an array of its own. */
export const outputFunction = (settled: Settled): OutputFunction => {
  const pixel = pixelFunction(settled);
  const space = SPACES[settled.space];
  const linear = new Float64Array(3);
  return (physical) => {
    const out = new Float64Array(OUTPUTS.length);
    pixel(physical, out);
    for (let b = 0; b < 3; b++) linear[b] = space.decode(out[b]!);
    out[3] = luminanceOf(linear, 0, space);
    rgbToOklab(linear, 0, space, out, 4);
    return out;
  };
};

/** Step of the difference quotient as a share of a channel's range: far above rounding, far below any curve's bend. */
const STEP = 1e-6;

/**
 * Derivatives of all outputs by the channels' physical values at one point: a row an output, a column a channel.
 * Central differences through the whole pixel function, so that every step of the recipe counts; at a kink (black
 * point, edge of the gamut) the mean of both sides.
 */
export const jacobianAt = (settled: Settled, outputs: OutputFunction, physical: readonly number[]): number[][] => {
  const columns = settled.channels.map(({ black, white }, c) => {
    const step = STEP * (white - black);
    const at = (sign: number) => outputs(physical.map((v, i) => (i === c ? v + sign * step : v)));
    const above = at(1);
    const below = at(-1);
    return OUTPUTS.map((_, k) => (above[k]! - below[k]!) / (2 * step));
  });
  return OUTPUTS.map((_, k) => columns.map((column) => column[k]!));
};
