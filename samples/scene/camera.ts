import type { PerLine } from './options.ts';

/** Electrons per count. */
export const GAIN = 0.25;
/** Standard deviation of one reading in electrons. */
export const READ_NOISE = 1.6;
/** Seconds of one sub. */
export const EXPOSURE = 400;
/** Counts added to every sub. */
export const PEDESTAL = 600;
export const FULL_SCALE = 65535;

export const COUNTS_PER_RATE = EXPOSURE / GAIN;

/** What differs between the lines. Rates in electrons per second and pixel, widths in pixels. */
export interface LineOptics {
  readonly filter: string;
  /** Mean of the nebula over the frame: 10 : 5 : 1 for Hα : O III : S II. */
  readonly nebula: number;
  readonly sky: number;
  /** Full width at half maximum of a star. */
  readonly seeing: number;
  /** Light of a star of no particular colour, and how it grows with blueness (per natural logarithm). */
  readonly star: number;
  readonly starBlue: number;
  /** Terms 1, u, v, u², uv, v² of the sky's gradient, u and v from −1 to 1 over the frame. */
  readonly gradient: readonly [number, number, number, number, number, number];
}

export const OPTICS: PerLine<LineOptics> = {
  S: {
    filter: 'S II',
    nebula: 0.05,
    sky: 0.2,
    seeing: 2.4,
    star: 0.6,
    starBlue: -0.1,
    gradient: [0.01, 0.005, 0.003, 0.001, 0, 0.001],
  },
  H: {
    filter: 'H-alpha',
    nebula: 0.5,
    sky: 0.22,
    seeing: 2.5,
    star: 1,
    starBlue: 0,
    gradient: [0.02, 0.01, -0.006, 0.002, 0.001, 0],
  },
  O: {
    filter: 'O III',
    nebula: 0.25,
    sky: 0.3,
    seeing: 2.8,
    star: 0.8,
    starBlue: 0.5,
    gradient: [0.05, -0.03, -0.016, 0.006, 0.004, 0.002],
  },
};

/** Whole subs in the given hours. */
export const subsIn = (hours: number): number => Math.max(1, Math.round((hours * 3600) / EXPOSURE));

/**
 * Standard deviation in counts of a mean of `subs` readings whose expected value is `mean` counts, pedestal included:
 * √((photons + read noise²)/subs), photons being as variable as they are many (the CCD equation without dark current,
 * Howell 2006, "Handbook of CCD Astronomy", section 4.4).
 */
export const noiseOf = (mean: number, subs: number): number => {
  const electrons = (mean - PEDESTAL) * GAIN;
  return Math.sqrt((electrons + READ_NOISE * READ_NOISE) / subs) / GAIN;
};
