/** Rates of electrons a second and pixel, and the noise of one reading in electrons; all ≥ 0. */
export interface Camera {
  readonly sky: number;
  readonly dark?: number | undefined;
  readonly read: number;
}

export interface Aperture {
  /** Electrons of the object, and of sky and dark current a pixel. */
  readonly signal: number;
  readonly sky: number;
  readonly dark: number;
  /** Electrons of one reading. */
  readonly read: number;
  readonly pixels: number;
  /** Pixels from which the background was estimated; as good as known where absent. */
  readonly skyPixels?: number | undefined;
  /** Electrons a count, whose rounding adds (gain · 0.289)²; none where absent. */
  readonly gain?: number | undefined;
}

/** Standard deviation of rounding to whole counts: 1/√12, as the source rounds it. */
const ROUNDING = 0.289;

/**
 * Signal-to-noise ratio of one exposure: N/√(N + n(1 + n/n_B)(N_S + N_D + N_R² + G²σ_f²)).
 * Source: W. J. Merline, S. B. Howell, Exp. Astron. 6:163, 1995; S. B. Howell, Handbook of CCD Astronomy, 4.4.
 */
export const apertureSnr = (a: Aperture): number => {
  const { signal, sky, dark, read, pixels, skyPixels = Number.POSITIVE_INFINITY, gain = 0 } = a;
  const perPixel = sky + dark + read ** 2 + (gain * ROUNDING) ** 2;
  return signal / Math.sqrt(signal + pixels * (1 + pixels / skyPixels) * perPixel);
};

/** SNR of one pixel in a stack of `subs` exposures of `seconds`, for `signal` electrons a second. */
export const stackSnr = (signal: number, camera: Camera, seconds: number, subs: number): number => {
  const { sky, dark = 0, read } = camera;
  return (signal * subs * seconds) / Math.sqrt((signal + sky + dark) * subs * seconds + subs * read ** 2);
};

/**
 * How much noisier a pixel is for being read after every `seconds`: √(1 + R²/((S + B + D)·t)). 1 is sky-limited.
 * Infinity where nothing but the reading makes noise.
 */
export const readPenalty = ({ sky, dark = 0, read }: Camera, seconds: number, signal = 0): number =>
  read === 0 ? 1 : Math.sqrt(1 + read ** 2 / ((signal + sky + dark) * seconds));

/** Noise in counts of the mean of `subs` exposures of `seconds` at the sky; `gain` in electrons a count. */
export const expectedNoise = ({ sky, dark = 0, read }: Camera, gain: number, seconds: number, subs: number): number =>
  Math.sqrt(((sky + dark) * seconds + read ** 2) / subs) / gain;

/** Noise of the mean of independent measurements weighted by inverse variance: 1/√Σ 1/σ². */
export const combinedNoise = (deviations: readonly number[]): number =>
  1 / Math.sqrt(deviations.reduce((sum, s) => sum + 1 / s ** 2, 0));
