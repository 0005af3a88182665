import { sorted } from '../plane/robust.ts';
import type { BlockNoise } from './block-noise.ts';
import { type LineNoise, scaleDeviations } from './noise-model.ts';

/** How far the quantiles over blocks of white noise lie below the true values: by simulation, 4 MP of noise each. */
export interface Calibration {
  /** The 25 % quantile of the first scale's noise. */
  readonly first: number;
  /** The 10 % quantile of the ratio of the second to the first. */
  readonly ratio: number;
}

const QUARTER = 0.25;
const TENTH = 0.1;
const MOST_BINS = 12;
const LEAST_IN_BIN = 8;
/** Bins so far above the line hold structure. */
const ABOVE = 1.2;
const ROUNDS = 4;
const FEWEST_BINS = 3;
/** Less correlation is none: the estimate scatters by as much. */
const LEAST_CORRELATION = 0.06;
const MOST_CORRELATION = 0.5;

/** The value below which a share of the values lies, between two of them linearly. */
const quantile = (values: readonly number[], share: number): number => {
  const rising = sorted(values);
  const at = share * (rising.length - 1);
  const low = Math.floor(at);
  const high = Math.min(rising.length - 1, low + 1);
  return rising[low]! + (at - low) * (rising[high]! - rising[low]!);
};

/**
 * The noise that blocks of a line show. The least noisy blocks of each level decide: structure only adds.
 * @param gain the slope of variance over level that the header states: taken where no block shows less noise than it says
 */
export const fitNoise = (
  blocks: readonly BlockNoise[],
  calibration: Calibration,
  gain?: number,
): LineNoise | undefined => {
  if (blocks.length === 0) return undefined;
  const neighbours = correlation(
    quantile(
      blocks.map(({ first, second }) => second / first),
      TENTH,
    ) / calibration.ratio,
  );
  const factor = scaleDeviations(1, neighbours)[0]! ** 2;
  const level = quantile(
    blocks.map((block) => block.level),
    0.05,
  );
  const bins = binsOf(blocks).map((bin) => ({
    above:
      quantile(
        bin.map((block) => block.level),
        0.5,
      ) - level,
    variance:
      (quantile(
        bin.map(({ first }) => first),
        QUARTER,
      ) /
        calibration.first) **
        2 /
      factor,
  }));
  const { base, slope } = (gain !== undefined ? lineOfSlope(bins, gain) : undefined) ?? lineThrough(bins);
  return base > 0 && Number.isFinite(base) ? { level, variance: base, perCount: slope, neighbours } : undefined;
};

/** The correlation of neighbours at which the second scale has so much of the first one's noise. */
const correlation = (ratio: number): number => {
  const at = (r: number) => {
    const [first, second] = scaleDeviations(2, r);
    return second! / first!;
  };
  let [low, high] = [0, MOST_CORRELATION];
  if (ratio <= at(LEAST_CORRELATION)) return 0;
  if (ratio >= at(high)) return high;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (at(middle) < ratio) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/** Blocks by rising level, in bins of nearly one size. */
const binsOf = (blocks: readonly BlockNoise[]): BlockNoise[][] => {
  const rising = [...blocks].sort((a, b) => a.level - b.level);
  const count = Math.min(MOST_BINS, Math.max(1, Math.floor(rising.length / LEAST_IN_BIN)));
  const [least, more] = [Math.floor(rising.length / count), rising.length % count];
  let next = 0;
  return Array.from({ length: count }, (_, i) => {
    const start = next;
    next += least + (i < more ? 1 : 0);
    return rising.slice(start, next);
  });
};

interface Bin {
  readonly above: number;
  readonly variance: number;
}

interface Line {
  readonly base: number;
  readonly slope: number;
}

const valueOn = ({ base, slope }: Line, { above }: Bin): number => base + slope * above;

/** A line of relative least squares; bins above it are left out and it is drawn again. */
const lineThrough = (bins: readonly Bin[]): Line => {
  let used = bins;
  let line: Line = { base: 0, slope: 0 };
  for (let round = 0; round < ROUNDS; round++) {
    line = relativeLine(used);
    if (used.length < FEWEST_BINS || !(line.slope >= 0) || !(line.base > 0))
      return { base: Math.min(...used.map(({ variance }) => variance)), slope: 0 };
    const found = line;
    used = bins.filter((bin) => bin.variance <= ABOVE * valueOn(found, bin));
  }
  return line;
};

/** Σ((base + slope · above)/variance − 1)² is least. */
const relativeLine = (bins: readonly Bin[]): Line => {
  let [aa, ab, bb, a, b] = [0, 0, 0, 0, 0];
  for (const { above, variance } of bins) {
    const [one, rise] = [1 / variance, above / variance];
    aa += one * one;
    ab += one * rise;
    bb += rise * rise;
    a += one;
    b += rise;
  }
  const determinant = aa * bb - ab * ab;
  return { base: (a * bb - b * ab) / determinant, slope: (b * aa - a * ab) / determinant };
};

/** The line of a given slope; undefined where some bin shows less noise than it says: the header speaks of other units. */
const lineOfSlope = (bins: readonly Bin[], slope: number): Line | undefined => {
  const baseOf = (used: readonly Bin[]) => {
    let [sum, weight] = [0, 0];
    for (const { above, variance } of used) {
      sum += (1 - (slope * above) / variance) / variance;
      weight += 1 / variance ** 2;
    }
    return sum / weight;
  };
  let line: Line = { base: baseOf(bins), slope };
  for (let round = 0; round < ROUNDS; round++) {
    const found = line;
    const used = bins.filter((bin) => bin.variance <= ABOVE * valueOn(found, bin));
    if (used.length < FEWEST_BINS || !(found.base > 0)) return undefined;
    line = { base: baseOf(used), slope };
  }
  const found = line;
  return found.base > 0 && bins.every((bin) => valueOn(found, bin) <= ABOVE * bin.variance) ? line : undefined;
};
