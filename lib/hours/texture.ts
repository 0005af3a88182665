/** How the noise of one line hangs together from pixel to pixel. */
export interface Texture {
  /** Noise seen between direct neighbours, and between every second pixel. */
  readonly fine: number;
  readonly coarse: number;
  /** Standard deviation of one pixel: `fine`, or `coarse` where neighbours go together. */
  readonly pixel: number;
  /** Estimated correlation of direct neighbours, 0…0.75. */
  readonly neighbours: number;
  /** True where neighbours go together, as in a master that was resampled onto another grid. */
  readonly correlated: boolean;
  /** Noise of the mean of n pixels is pixel · area / √n. */
  readonly area: number;
}

/** Nebula and stars raise the coarse noise by some percent; only a larger difference is called correlation. */
const CORRELATED_BELOW = 0.9;

/**
 * Judges the two noises. For noise whose direct neighbours along an axis have correlation r, further ones none, and
 * which separates by axis (bilinear interpolation does), the mask's response falls to 1 − 4r/3 of its value for
 * independent pixels: per axis (6 − 8r)/6, once for each axis, under the root. The mean of many pixels then varies
 * (1 + 2r) times as much as their own noise tells. Below a ratio of 0.9 this is applied; above, r counts as 0.
 */
export const textureOf = (fine: number, coarse: number): Texture => {
  const ratio = coarse > 0 ? fine / coarse : 1;
  const correlated = ratio < CORRELATED_BELOW;
  const neighbours = correlated ? 0.75 * (1 - ratio) : 0;
  return { fine, coarse, pixel: correlated ? coarse : fine, neighbours, correlated, area: 1 + 2 * neighbours };
};
