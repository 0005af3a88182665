import type { Box } from './box.ts';
import type { Size } from './shrink.ts';

type Pair<T> = readonly [T, T];

/** One term of a distortion: coefficient · u^p · v^q. */
export interface SkyTerm {
  readonly p: number;
  readonly q: number;
  readonly value: number;
}

/** The four polynomials of the SIP convention, as far as a header has them: A and B, and their inverses AP and BP. */
export type SkyDistortion = Readonly<
  Partial<Record<'A' | 'B' | 'AP' | 'BP', { readonly order: number; readonly terms: readonly SkyTerm[] }>>
>;

/**
 * Where a picture lies in the sky, as FITS world coordinates (Greisen & Calabretta 2002; Calabretta & Greisen 2002) of its
 * two axes: columns from the left, rows from the bottom; the centre of the first pixel is 1, 1. `matrix` takes pixels to
 * degrees, whatever form the header had.
 */
export interface Sky {
  /** Longitude and latitude with their projection: `RA---TAN`, `DEC--TAN`. */
  readonly axes: readonly [string, string];
  /** World coordinates at the reference pixel. */
  readonly value: readonly [number, number];
  /** The reference pixel, counted as above. */
  readonly pixel: readonly [number, number];
  /** CDi_j: rows are world axes, columns are pixel axes. */
  readonly matrix: readonly [readonly [number, number], readonly [number, number]];
  /** SIP (Shupe et al. 2005), in pixels from the reference pixel. */
  readonly distortion: SkyDistortion;
  /** Keywords that no change of the pixel grid touches: frame, pole, parameters of the projection. */
  readonly constants: Readonly<Record<string, string | number>>;
}

/** The sky of the part of a picture that a box shows. @param height rows of the whole picture */
export const skyOfBox = (sky: Sky, box: Box, height: number): Sky => ({
  ...sky,
  pixel: [sky.pixel[0] - box.x, sky.pixel[1] - (height - box.y - box.height)],
});

/** The sky of a copy of another size that shows the same field. */
export const skyOfSize = (sky: Sky, from: Size, to: Size): Sky =>
  rescaled(sky, [to.width / from.width, to.height / from.height], (at, scale) => (at - 0.5) * scale + 0.5);

/** The sky of the picture upside down: rows are counted from its other end. */
export const skyTurnedOver = (sky: Sky, height: number): Sky =>
  rescaled(sky, [1, -1], (at, scale) => (scale < 0 ? height + 1 - at : at));

/**
 * New pixel axes, each `scale` times the old one. A distortion f(u, v) becomes s·f(u/s, v/t) in its axis, so the
 * coefficient of u^p v^q becomes s · s^-p · t^-q times what it was.
 */
const rescaled = (sky: Sky, [s, t]: Pair<number>, moved: (at: number, scale: number) => number): Sky => {
  const { pixel, matrix, distortion } = sky;
  const part = (name: keyof SkyDistortion, own: number) => {
    const found = distortion[name];
    const terms = found?.terms.map(({ p, q, value }) => ({ p, q, value: value * own * s ** -p * t ** -q }));
    return found && { [name]: { order: found.order, terms } };
  };
  return {
    ...sky,
    pixel: [moved(pixel[0], s), moved(pixel[1], t)],
    matrix: [
      [matrix[0][0] / s, matrix[0][1] / t],
      [matrix[1][0] / s, matrix[1][1] / t],
    ],
    distortion: { ...part('A', s), ...part('B', t), ...part('AP', s), ...part('BP', t) },
  };
};
