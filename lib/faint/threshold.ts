import { FIELD_DENSITY } from './kernels.ts';

/**
 * Blobs above a threshold u that noise alone makes in so many bins: bins · λ · (2π)^(−3/2) · u · exp(−u²/2), the expected
 * Euler characteristic of a Gaussian field, which counts blobs where u is high.
 * Sources: R. J. Adler 1981, The Geometry of Random Fields; K. J. Worsley et al. 1992, J. Cereb. Blood Flow Metab. 12, 900.
 */
export const expectedBlobs = (u: number, bins: number): number =>
  bins * FIELD_DENSITY * (2 * Math.PI) ** -1.5 * u * Math.exp(-0.5 * u * u);

/** The highest threshold is far above what any frame needs. */
const HIGHEST = 12;

/** The threshold that noise alone passes so many times in so many bins; at least 1, where the formula peaks. */
export const thresholdFor = (blobs: number, bins: number): number => {
  let [low, high] = [1, HIGHEST];
  if (expectedBlobs(low, bins) < blobs) return low;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (expectedBlobs(middle, bins) > blobs) low = middle;
    else high = middle;
  }
  return low;
};
