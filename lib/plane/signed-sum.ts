/**
 * Sums of terms of both signs that are smaller than this share of the terms' sizes count as 0. Rounding leaves up to some
 * 2⁻⁴⁹ of the sizes where the terms cancel exactly on paper, and a curve, a ratio or a hue must not depend on that; just
 * above the limit a sum is good to 2⁻¹⁷, a third of one step of 16 bits where it decides a ratio.
 */
const NOISE = 2 ** -32;

/** `sum`, or 0 where nothing but rounding is left of terms whose absolute values add up to `sizes`. NaN stays NaN. */
export const orNothing = (sum: number, sizes: number): number => (Math.abs(sum) <= sizes * NOISE ? 0 : sum);
