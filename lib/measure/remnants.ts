import { BINS, type UpperCounts } from '../plane/counting.ts';
import { numberOf } from './float-key.ts';

/** Bins of `UpperCounts` from one power of two to the next. */
const OCTAVE = 128;
/** Remnants lie below 2⁻³⁰ of a bright magnitude, and hardly anything up to 2⁻²⁰ of it. */
const REMNANT = 30 * OCTAVE;
const GAP = 10 * OCTAVE;
/** Share of the remnants that may lie in the gap: pixels where the border blends into the picture. */
const STRAY = 0.01;
/** What is bright: nine of ten values have a smaller magnitude. */
const BRIGHT = 0.9;

export interface Emptiness {
  /** Values with a smaller magnitude are as good as zero; 0 where only zeros are. */
  readonly limit: number;
  /** How many values that are, exact zeros included. */
  readonly count: number;
}

/**
 * Finds remnants of resampling: where a frame ends, interpolation leaves values near 1e-12 instead of exact zeros. They
 * are told from sky around zero by a gap. The values of a sky are spread evenly about zero: between 2⁻³⁰ and 2⁻²⁰ of
 * the picture's brightness there are about a thousand times as many of them as below. Remnants leave these ten powers of
 * two empty.
 * @param counts of all values, nothing subtracted; only for floats
 */
export const emptinessOf = ({ bins, zeros }: UpperCounts): Emptiness => {
  const exact = { limit: 0, count: zeros };
  const magnitudes = magnitudeCounts(bins);
  const below = binAtShare(magnitudes, BRIGHT) - REMNANT;
  if (below <= 0) return exact;
  const count = sum(magnitudes, 0, below);
  const stray = sum(magnitudes, below, below + GAP);
  return stray <= STRAY * (count - zeros) ? { limit: numberOf(((POSITIVE + below) << 16) >>> 0), count } : exact;
};

/** The bin of zero; those of positive values follow. */
const POSITIVE = BINS / 2;

/** How many values of either sign lie in each bin of magnitude. */
const magnitudeCounts = (bins: Float64Array): Float64Array =>
  Float64Array.from({ length: POSITIVE }, (_, m) => bins[3 * (POSITIVE + m)]! + bins[3 * (POSITIVE - 1 - m)]!);

const sum = (counts: Float64Array, from: number, to: number): number =>
  counts.subarray(from, to).reduce((a, b) => a + b, 0);

const binAtShare = (counts: Float64Array, share: number): number => {
  const wanted = share * sum(counts, 0, counts.length);
  let passed = 0;
  return counts.findIndex((count) => {
    passed += count;
    return passed >= wanted;
  });
};
