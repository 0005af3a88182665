/** Rates of electrons a second and pixel, and the noise of one reading in electrons; all ≥ 0. */
export interface Camera {
  readonly sky: number;
  readonly dark?: number | undefined;
  readonly read: number;
}

/**
 * How much noisier a pixel is for being read after every `seconds`: √(1 + R²/((S + B + D)·t)). 1 is sky-limited.
 * Infinity where nothing but the reading makes noise.
 */
export const readPenalty = ({ sky, dark = 0, read }: Camera, seconds: number, signal = 0): number =>
  read === 0 ? 1 : Math.sqrt(1 + read ** 2 / ((signal + sky + dark) * seconds));

/**
 * Noise in counts of the mean of `subs` exposures of `seconds` at the sky; `gain` in electrons a count.
 * Source: W. J. Merline, S. B. Howell, Exp. Astron. 6:163, 1995; S. B. Howell, Handbook of CCD Astronomy, 4.4.
 */
export const expectedNoise = ({ sky, dark = 0, read }: Camera, gain: number, seconds: number, subs: number): number =>
  Math.sqrt(((sky + dark) * seconds + read ** 2) / subs) / gain;
