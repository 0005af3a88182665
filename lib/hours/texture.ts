/** How the noise of one line hangs together from pixel to pixel. */
export interface Texture {
  /** Noise seen between direct neighbours, and beyond them, where structure is taken off. */
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

/** Even without structure the two noises differ by chance; only a larger difference is called correlation. */
const CORRELATED_BELOW = 0.9;

/**
 * Noise between pixels two apart, freed from the structure of the nebula: what structure adds to the variance rises
 * with about the fourth power of the distance (as for second differences of anything smooth), noise that reaches no
 * further than one pixel stays. So V₂ = σ² + 2⁴·S and V₃ = σ² + 3⁴·S give σ. Never below `fine`.
 */
export const withoutStructure = (fine: number, second: number, third: number): number => {
  const structure = Math.max(0, third ** 2 - second ** 2) / (3 ** 4 - 2 ** 4);
  return Math.max(fine, Math.sqrt(Math.max(0, second ** 2 - 2 ** 4 * structure)));
};

/**
 * Judges noise seen at one, two and three pixels' distance. For noise whose direct neighbours along an axis have
 * correlation r, further ones none, and which separates by axis (bilinear interpolation does), the mask's response falls
 * to 1 − 4r/3 of its value for independent pixels: per axis (6 − 8r)/6, once for each axis, under the root. The mean of
 * many pixels then varies (1 + 2r) times as much as their own noise tells. Below a ratio of 0.9 this is applied; above,
 * r counts as 0. Distances that could not be measured (NaN) leave `fine` as it is.
 */
export const textureOf = (fine: number, second: number, third: number): Texture => {
  const coarse = Number.isNaN(second + third) ? fine : withoutStructure(fine, second, third);
  const ratio = coarse > 0 ? fine / coarse : 1;
  const correlated = ratio < CORRELATED_BELOW;
  const neighbours = correlated ? 0.75 * (1 - ratio) : 0;
  return { fine, coarse, pixel: correlated ? coarse : fine, neighbours, correlated, area: 1 + 2 * neighbours };
};
