import type { SampleType } from './plane.ts';

/** What measuring one channel over its counted pixels found. All values are physical; all are finite numbers. */
export interface Measured {
  /** The channel, as recipes call it. */
  readonly name: string;
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly type: SampleType;
  readonly filter: string | undefined;
  readonly hours: number | undefined;
  readonly min: number;
  readonly max: number;
  /** Exact median of the counted pixels (mean of the middle two for even counts). */
  readonly median: number;
  /** Median absolute deviation · 1.482602218505602: the normal standard deviation it stands for. */
  readonly madSpread: number;
  /**
   * Background level and spread: median and standard deviation after clipping at 3 sigma. The spread holds all nebula
   * that is not clipped, so it is no noise: the noise of a pixel is what `surveyLine` finds.
   */
  readonly level: number;
  readonly spread: number;
  /** Percentile (0…100, as a decimal string key) → value; linear interpolation between order statistics. */
  readonly percentiles: Readonly<Record<string, number>>;
  /** Pixels counted, pixels without data in this channel, and counted pixels at the top of the range. */
  readonly counted: number;
  readonly undefined: number;
  readonly saturated: number;
  /** True where all counted pixels have one value: there is nothing to stretch. */
  readonly flat: boolean;
  /** True where the values look display-encoded already. */
  readonly stretched: boolean;
}

/** Percentiles that are always measured; a recipe may ask for more. */
export const STANDARD_PERCENTILES: readonly number[] = [0.05, 1, 5, 25, 50, 75, 95, 99, 99.5, 99.9, 99.99];
