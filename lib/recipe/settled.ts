import type { GamutName } from '../colour/gamut.ts';
import type { SpaceName } from '../plane/picture.ts';
import type { CurveName } from '../stretch/curves.ts';

/** The curve of one channel with its number found. */
export interface SettledStretch {
  readonly curve: CurveName;
  readonly a?: number;
  readonly points?: readonly (readonly [number, number])[];
}

/**
 * z = clamp((x − background − black) / (white − black), 0, 1); e = curve(z).
 * background, black, white and a are float32 values, so that all kernels start from the same numbers.
 */
export interface SettledChannel {
  readonly name: string;
  readonly background: number;
  readonly black: number;
  readonly white: number;
  readonly stretch: SettledStretch;
}

/**
 * A recipe with every automatic value replaced by the number that these masters give: with the masters, all that is
 * needed to recompute the picture. Plain JSON.
 */
export interface Settled {
  readonly channels: readonly SettledChannel[];
  /** Balanced weights: rows red, green, blue; a column for each channel. */
  readonly matrix: readonly (readonly number[])[];
  readonly mixIn: 'display' | 'light';
  /** For `mixIn: light`: the curve from intensity to intensity; channels then stay linear. */
  readonly intensity?: SettledStretch;
  /** Weights by channel whose mix replaces the luminance; absent where the mix keeps its own. */
  readonly lightness?: readonly number[];
  /** Share of the green above the mean (or larger) of red and blue that is taken back; absent for none. */
  readonly greenLimit?: { readonly amount: number; readonly mean: 'mean' | 'max' };
  readonly space: SpaceName;
  readonly highlights: 'ratio' | 'clip';
  readonly gamut: GamutName;
}
