/** What green is measured against. */
export type GreenMean = 'mean' | 'max';

export const GREEN_MEANS: Readonly<Record<GreenMean, (red: number, blue: number) => number>> = {
  mean: (red, blue) => (red + blue) / 2,
  max: (red, blue) => Math.max(red, blue),
};

/**
 * Takes back green that neither red nor blue supports: G′ = G − amount · max(0, G − m(R, B)), in place.
 * `amount` 0 leaves all as it is, 1 brings green down to the mean (or larger) of red and blue.
 * Works on display or linear values alike. NaN in any channel leaves the colour untouched. Common practice.
 */
export const limitGreen = (rgb: Float64Array, at: number, amount: number, mean: GreenMean): void => {
  const excess = rgb[at + 1]! - GREEN_MEANS[mean](rgb[at]!, rgb[at + 2]!);
  if (excess > 0) rgb[at + 1] = rgb[at + 1]! - amount * excess;
};
