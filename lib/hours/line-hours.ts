import { LinewashError } from '../plane/errors.ts';
import { expectedNoise } from './ccd.ts';
import type { Exposure } from './exposure.ts';
import type { LineWish } from './goal.ts';

/** How one line may be exposed from now on, and what is known of its camera and sky. */
export interface LineHours extends Omit<LineWish, 'camera'> {
  /**
   * Read noise in electrons: counts where future subs differ in length. The brightness of the sky must then be known, by
   * `sky` or by `gain` and `pedestal`.
   */
  readonly readNoise?: number | undefined;
  /** Electrons of the sky a second and pixel. */
  readonly sky?: number | undefined;
  /** Electrons a count, of a master that is the mean of its subs. */
  readonly gain?: number | undefined;
  /** Counts of that master without any light. */
  readonly pedestal?: number | undefined;
}

/** What the sky's level in file units and the length of a sub so far tell of the sky's rate. */
export interface SkyFacts {
  readonly level: number;
  readonly sub: number | undefined;
}

/**
 * One line's wish, with its camera where read noise is given.
 * @throws LinewashError 'usage' where read noise is given without what tells the sky's rate.
 */
export const lineWish = (name: string, hours: LineHours, facts: SkyFacts): LineWish => {
  const { readNoise: read, sky, gain, pedestal, ...wish } = hours;
  if (read === undefined) return wish;
  const rate = sky ?? rateFrom(gain, pedestal, facts);
  if (rate !== undefined && rate >= 0) return { ...wish, camera: { sky: rate, read } };
  throw new LinewashError({
    tag: 'usage',
    message: `read noise needs the brightness of the sky in ${name}`,
    advice: 'give gain and pedestal of a master that is a mean of its subs, or the sky in electrons a second',
    remedy: { option: 'sky', line: name },
  });
};

const rateFrom = (gain: number | undefined, pedestal: number | undefined, { level, sub }: SkyFacts) =>
  gain === undefined || pedestal === undefined || sub === undefined ? undefined : ((level - pedestal) * gain) / sub;

/** The noise that the CCD equation expects of a mean of subs; undefined where camera, gain or subs are not known. */
export const noiseExpected = (
  { gain }: Pick<LineHours, 'gain'>,
  { sub, subs }: Exposure,
  { camera }: LineWish,
): number | undefined => (camera && gain && sub && subs ? expectedNoise(camera, gain, sub, subs) : undefined);
