import { originAfter } from '../../plane/origin.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { isWide } from '../../plane/strips.ts';
import { alongRow, type Shade, shadeAt, shadeRow } from './shade.ts';

/**
 * A polynomial over the frame, Σ c·uⁱ·vʲ with i + j ≤ order, u = (2x + 1)/width − 1, v = (2y + 1)/height − 1 at pixel
 * column x and row y from the top: −1 and 1 are the edges of the frame, so one surface fits every size of a picture.
 * Coefficients stand in the order 1, u, v, u², uv, v², u³, u²v, uv², v³ and so on. A shade, where there is one, is added.
 */
export interface Surface {
  readonly order: number;
  readonly coefficients: readonly number[];
  /** What a shadow at an edge takes away, 0 or below; absent for none. */
  readonly shade?: Shade | undefined;
  /** Standard error of a fitted polynomial, root mean square over the frame, in units of the values; absent where unknown. */
  readonly uncertainty?: number | undefined;
}

/** A level at a place of the frame, −1 to 1. */
export interface SurfacePoint {
  readonly u: number;
  readonly v: number;
  readonly value: number;
}

type Powers = readonly (readonly [i: number, j: number])[];

const known: Powers[] = [];

/** Powers of u and v of each coefficient. */
export const surfacePowers = (order: number): Powers => {
  known[order] ??= Array.from({ length: order + 1 }, (_, degree) =>
    Array.from({ length: degree + 1 }, (_, j) => [degree - j, j] as const),
  ).flat();
  return known[order];
};

export const surfaceTerms = (order: number, u: number, v: number): number[] =>
  surfacePowers(order).map(([i, j]) => u ** i * v ** j);

/** Value of the surface at (u, v). */
export const surfaceAt = ({ order, coefficients, shade }: Surface, u: number, v: number): number => {
  const powers = surfacePowers(order);
  let sum = shade === undefined ? 0 : shadeAt(shade, u, v);
  for (let k = 0; k < powers.length; k++) {
    const [i, j] = powers[k]!;
    sum += coefficients[k]! * (u ** i * v ** j);
  }
  return sum;
};

/** Position of a pixel centre, or of a point between, from −1 at one edge to 1 at the other. */
export const framePosition = (pixel: number, length: number): number => (2 * pixel + 1) / length - 1;

/** Mean of the polynomial over the frame: only even powers count, ∫∫ uⁱvʲ / 4 = 1 / ((i + 1)(j + 1)). */
export const surfaceMean = ({ order, coefficients }: Surface): number =>
  surfacePowers(order).reduce(
    (sum, [i, j], k) => (i % 2 === 0 && j % 2 === 0 ? sum + coefficients[k]! / ((i + 1) * (j + 1)) : sum),
    0,
  );

/** The same surface, its polynomial with mean 0 over the frame: removing it leaves the level where it was. */
export const withZeroMean = (surface: Surface): Surface => ({
  ...surface,
  coefficients: surface.coefficients.map((c, k) => (k === 0 ? c - surfaceMean(surface) : c)),
});

/**
 * The source less the surface: x − surface(u, v), computed in float64 and kept as float32 (float64 where the source
 * needs it). Negative values stay; undefined pixels stay undefined.
 */
export const withoutSurface = (source: PlaneSource, surface: Surface): PlaneSource => ({
  ...source,
  type: isWide(source) ? 'f64' : 'f32',
  fullScale: undefined,
  raw: undefined,
  ...originAfter(source.origin, (of) => ({ step: 'surface', of, surface })),
  async readRows(y, rows, into) {
    await source.readRows(y, rows, into);
    const heights = new Float64Array(source.width);
    for (let r = 0; r < rows; r++) {
      surfaceRow(surface, framePosition(y + r, source.height), heights);
      const start = r * source.width;
      for (let x = 0; x < heights.length; x++) into[start + x]! -= heights[x]!;
    }
  },
});

/** Writes the heights of the surface along one row of the frame, one for each column. */
export const surfaceRow = (surface: Surface, v: number, heights: Float64Array): void => {
  const { length: width } = heights;
  const line = rowPolynomial(surface, v);
  for (let x = 0; x < width; x++) {
    const u = framePosition(x, width);
    let sum = 0;
    for (let i = line.length - 1; i >= 0; i--) sum = sum * u + line[i]!;
    heights[x] = sum;
  }
  const { shade } = surface;
  const row = shade && shadeRow(shade, v);
  if (shade === undefined || row === undefined) return;
  for (let x = 0; x < width; x++) heights[x]! += alongRow(shade, row, framePosition(x, width));
};

/** The polynomial along one row: coefficients of 1, u, u² … */
export const rowPolynomial = ({ order, coefficients }: Surface, v: number): number[] => {
  const line = new Array<number>(order + 1).fill(0);
  for (const [k, [i, j]] of surfacePowers(order).entries()) line[i]! += coefficients[k]! * v ** j;
  return line;
};
