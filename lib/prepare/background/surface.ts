import type { PlaneSource, Samples } from '../../plane/plane.ts';
import { isWide } from '../../plane/strips.ts';

/**
 * A polynomial over the frame, Σ c·uⁱ·vʲ with i + j ≤ order, u = (2x + 1)/width − 1, v = (2y + 1)/height − 1 at pixel
 * column x and row y from the top: −1 and 1 are the edges of the frame, so one surface fits every size of a picture.
 * Coefficients stand in the order 1, u, v, u², uv, v², u³, u²v, uv², v³ and so on.
 */
export interface Surface {
  readonly order: number;
  readonly coefficients: readonly number[];
}

/** Powers of u and v of each coefficient. */
export const surfacePowers = (order: number): [i: number, j: number][] =>
  Array.from({ length: order + 1 }, (_, degree) =>
    Array.from({ length: degree + 1 }, (_, j): [number, number] => [degree - j, j]),
  ).flat();

export const surfaceTerms = (order: number, u: number, v: number): number[] =>
  surfacePowers(order).map(([i, j]) => u ** i * v ** j);

/** Value of the surface at (u, v). */
export const surfaceAt = ({ order, coefficients }: Surface, u: number, v: number): number =>
  surfaceTerms(order, u, v).reduce((sum, term, k) => sum + coefficients[k]! * term, 0);

/** Position of a pixel centre, or of a point between, from −1 at one edge to 1 at the other. */
export const framePosition = (pixel: number, length: number): number => (2 * pixel + 1) / length - 1;

/** Mean of the surface over the frame: only even powers count, ∫∫ uⁱvʲ / 4 = 1 / ((i + 1)(j + 1)). */
export const surfaceMean = ({ order, coefficients }: Surface): number =>
  surfacePowers(order).reduce(
    (sum, [i, j], k) => (i % 2 === 0 && j % 2 === 0 ? sum + coefficients[k]! / ((i + 1) * (j + 1)) : sum),
    0,
  );

/** The same surface with mean 0 over the frame: removing it leaves the level where it was. */
export const withZeroMean = (surface: Surface): Surface => ({
  ...surface,
  coefficients: surface.coefficients.map((c, k) => (k === 0 ? c - surfaceMean(surface) : c)),
});

/**
 * The source less the surface: x − surface(u, v), computed in float64 and kept as float32 (float64 where the source
 * needs it). Negative values stay; undefined pixels stay undefined.
 */
export const withoutSurface = (source: PlaneSource, surface: Surface): PlaneSource => {
  const flat = flattened(source, surface);
  origins.set(flat, { source, surface });
  return flat;
};

/** What a source without its surface was made of: kernels that read files take surfaces off themselves. */
export const originOf = (source: PlaneSource): { source: PlaneSource; surface: Surface } | undefined =>
  origins.get(source);

const origins = new WeakMap<PlaneSource, { source: PlaneSource; surface: Surface }>();

const flattened = (source: PlaneSource, surface: Surface): PlaneSource => ({
  ...source,
  type: isWide(source) ? 'f64' : 'f32',
  fullScale: undefined,
  raw: undefined,
  async readRows(y, rows, into) {
    await source.readRows(y, rows, into);
    for (let r = 0; r < rows; r++) {
      const line = rowPolynomial(surface, framePosition(y + r, source.height));
      subtractLine(into, r * source.width, source.width, line);
    }
  },
});

/** The surface along one row: coefficients of 1, u, u² … */
export const rowPolynomial = ({ order, coefficients }: Surface, v: number): number[] => {
  const line = new Array<number>(order + 1).fill(0);
  for (const [k, [i, j]] of surfacePowers(order).entries()) line[i]! += coefficients[k]! * v ** j;
  return line;
};

const subtractLine = (data: Samples, start: number, width: number, line: readonly number[]): void => {
  for (let x = 0; x < width; x++) {
    const u = (2 * x + 1) / width - 1;
    let sum = 0;
    for (let i = line.length - 1; i >= 0; i--) sum = sum * u + line[i]!;
    data[start + x]! -= sum;
  }
};
