import type { Mask } from '../../plane/mask.ts';
import type { MasterLimits } from './limits.ts';
import { type Cells, UNIT } from './trails.ts';

/** A pixel and a mean of 3 × 3 are outliers beyond so many deviations, a mean of 7 × 7 beyond `WIDE`. */
const SEED = 5;
const WIDE = 6;
/** Neighbours of outliers are taken along where their 3 × 3 mean is above so many deviations. */
const NEAR = 2;
/** On a trail that only shows as a whole, pixels whose 3 × 3 mean is above this share of a pixel's deviation are taken. */
const ON_TRAIL = 0.3;
/** Pixels where a star might make more than so many deviations say nothing about trails. */
const STARRY = 2;
/** A pixel counts for no more than so many deviations in a trail. */
const MOST = 4;

/** What a first look finds in one master. */
export interface Suspects {
  /** Outliers by themselves. */
  readonly seeds: Mask;
  /** Outliers if they touch one. */
  readonly near: Mask;
  /** Outliers if they lie on a trail. */
  readonly above: Mask;
  /** Excess in its deviations, for trails. */
  readonly cells: Cells;
}

/** The excess of one master in a band: of pixels, of means of 3 × 3 and 7 × 7; what is spared, and the bin of brightness. */
export interface BandExcess {
  readonly pixel: Float32Array;
  readonly three: Float32Array;
  readonly seven: Float32Array;
  readonly spared: Float32Array;
  readonly bins: Uint8Array;
}

/**
 * Marks what is suspect, row after row; the first row of a band must be even.
 * @param masters how many are compared: of two, one that is too low cannot be told from one that is too high
 */
export const rowMarker = (band: BandExcess, limits: MasterLimits, into: Suspects, masters: number) => {
  const { seeds, near, above, cells } = into;
  const { width, height, stride } = seeds;
  const verdicts = new Uint8Array(stride * 8);
  const sums = new Float32Array(cells.width);
  const judge = rowJudge(band, limits, masters > 2, verdicts.subarray(0, width), sums);
  return (y: number, from: number): void => {
    if ((y & 1) === 0) sums.fill(0);
    judge(from);
    pack(verdicts, 0, seeds.bits, y * stride, stride);
    pack(verdicts, 1, near.bits, y * stride, stride);
    pack(verdicts, 2, above.bits, y * stride, stride);
    if ((y & 1) === 0 && y + 1 < height) return;
    // Half the sum of four: white noise keeps its deviation.
    const row = (y >> 1) * cells.width;
    for (let x = 0; x < cells.width; x++)
      cells.data[row + x] = Math.max(-127, Math.min(127, Math.round((sums[x]! * UNIT) / 2)));
  };
};

/** Gathers one bit of each verdict, eight to a byte. */
const pack = (verdicts: Uint8Array, bit: number, bits: Uint8Array, at: number, stride: number): void => {
  for (let byte = 0; byte < stride; byte++) {
    let packed = 0;
    for (let k = 0; k < 8; k++) packed |= ((verdicts[byte * 8 + k]! >> bit) & 1) << k;
    bits[at + byte] = packed;
  }
};

const [SEEDS, NEARBY, ABOVE] = [1, 2, 4];

/** Judges the pixels of a row that begins at an index of the band, and adds up their deviations by cells. */
const rowJudge = (
  { pixel, three, seven, spared, bins }: BandExcess,
  limits: MasterLimits,
  low: boolean,
  verdicts: Uint8Array,
  sums: Float32Array,
) => {
  const [one, mean3, mean7] = [limits.pixel, limits.three, limits.seven];
  return (from: number): void => {
    for (let x = 0; x < verdicts.length; x++) {
      const i = from + x;
      const bin = bins[i]!;
      const spare = spared[i]!;
      const sigma = one.deviation[bin]!;
      const e = pixel[i]! - one.middle[bin]!;
      const e3 = three[i]! - mean3.middle[bin]!;
      let verdict = 0;
      if (e3 > ON_TRAIL * sigma) {
        verdict = ABOVE;
        if (e3 > NEAR * mean3.deviation[bin]! + spare) verdict |= NEARBY;
        if (e3 > SEED * mean3.deviation[bin]! + spare) verdict |= SEEDS;
      }
      if (e > SEED * sigma + spare || (low && e < -(SEED * sigma + spare))) verdict |= SEEDS;
      if (seven[i]! - mean7.middle[bin]! > WIDE * mean7.deviation[bin]! + spare) verdict |= SEEDS;
      verdicts[x] = verdict;
      // An excess of exactly 0 was not measured.
      if (spare <= STARRY * sigma && pixel[i] !== 0) sums[x >> 1]! += Math.max(-MOST, Math.min(MOST, e / sigma));
    }
  };
};
