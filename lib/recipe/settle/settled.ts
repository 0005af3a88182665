import type { GamutName } from '../../colour/gamut.ts';
import type { Finish } from '../../finish/finish.ts';
import type { Box } from '../../plane/box.ts';
import type { Triple } from '../../plane/linear.ts';
import type { SpaceName } from '../../plane/picture.ts';
import type { Surface } from '../../prepare/background/surface.ts';
import type { Spots } from '../../prepare/fill.ts';
import type { LevelLimits } from '../../prepare/levels.ts';
import type { LineNoise } from '../../smooth/noise-model.ts';
import type { PackedStars } from '../../stars/star-list.ts';
import type { CurveName } from '../../stretch/curves.ts';

/** The curve of one channel with its number found. */
export interface SettledStretch {
  readonly curve: CurveName;
  readonly a?: number;
  readonly points?: readonly (readonly [number, number])[];
}

/**
 * One file of several that were combined for a line: Σ weight·(scale·x + offset) / Σ weight over those that have data and
 * are no outliers; where all are, over these.
 */
export interface SettledPart {
  readonly file: string;
  readonly scale: number;
  readonly offset: number;
  readonly weight: number;
  /** Its pixels that the other files contradict; absent for none. */
  readonly outliers?: SettledOutliers;
}

/** Pixels that are left out of a file. */
export interface SettledOutliers {
  readonly pixels: number;
  /** Of all pixels of the file, 0…1. */
  readonly share: number;
  /** The largest connected groups, each by the box that holds it and its number of pixels. */
  readonly largest: readonly (Box & { readonly pixels: number })[];
}

/** Light of another picture that is taken off a line: x − k · (r − surface(u, v) − background), r its value. */
export interface SettledContinuum {
  readonly from: string;
  readonly k: number;
  /** The other picture's own level and, where its gradient was removed, its surface. */
  readonly background: number;
  readonly surface?: Surface;
}

/**
 * z = clamp((x − background − black) / (white − black), 0, 1); e = curve(z).
 * background, black, white and a are float32 values, so that all kernels start from the same numbers.
 * Where there is a surface, x is the master's value less Σ cᵢⱼ·uⁱ·vʲ (see `Surface` for u, v and the order of the
 * coefficients) and less its shade where it has one (see `Shade`); where there is a continuum, its part is taken off after that. Both are computed in float64 and rounded
 * to float32.
 */
export interface SettledChannel {
  readonly name: string;
  readonly background: number;
  readonly black: number;
  readonly white: number;
  /** Which limits decided black and white in place of the recipe's wish; absent where none did. */
  readonly limits?: LevelLimits;
  readonly stretch: SettledStretch;
  /** How several files became the master that the other numbers belong to; absent for one file. */
  readonly combined?: readonly SettledPart[];
  /** Gradient of mean 0 over the frame, and the shadow of something at an edge, that are subtracted before all else; absent for none. */
  readonly surface?: Surface;
  readonly continuum?: SettledContinuum;
  /** Bright points that are filled from around them before all else; absent for none. */
  readonly spots?: Spots;
}

/**
 * A picture of the stars that is laid over the mix by screen: in display values of the space (for `srgb-linear` those of
 * sRGB), v = m + s − m·s with s = strength · curve(z), z as for channels; `channels` are its red, green and blue. Where
 * it has no data, and where the mix has none, nothing is laid over.
 */
export interface SettledStars {
  readonly strength: number;
  readonly channels: readonly Pick<SettledChannel, 'background' | 'black' | 'white' | 'limits' | 'stretch'>[];
}

/**
 * Lines from whose values noise is taken, after surface and continuum and before the levels: see docs/maths/smooth.md.
 * A copy that is smaller than the frame is smoothed over fewer scales, with noise that is as much less.
 */
export interface SettledSmooth {
  /** 0…1. */
  readonly strength: number;
  readonly scales: number;
  readonly guide: string;
  readonly lines: readonly string[];
  /** The noise of these lines and of the guide. */
  readonly noise: Readonly<Record<string, LineNoise>>;
  /** Size of the frame that these numbers belong to, in pixels. */
  readonly frame: { readonly width: number; readonly height: number };
}

/**
 * The stars that were found in the lines themselves, and what becomes of them: see docs/maths/stars.md. They are taken out
 * after surface and continuum and before smoothing; lines get them back `size` times as bright. Their colour is moved
 * towards `tint` by `neutral`, in linear light of the space, at the luminance that the mix has.
 */
export interface SettledOwnStars {
  /** 0…1. */
  readonly neutral: number;
  /** 0…1. */
  readonly size: number;
  /** Linear light of the space, largest 1; white unless the recipe asks for another colour. */
  readonly tint: Triple;
  /** Most pixels that the light of a star is followed to. */
  readonly radius: number;
  /** How many were found. */
  readonly count: number;
  /** SHA-256 of the list's data, in hexadecimal: whoever finds the stars again can tell whether they are the same. */
  readonly hash: string;
  /** Absent in what is kept of settled numbers: it is found again from the masters. */
  readonly list?: PackedStars;
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
  /** Tone, chroma and hue after the mix; absent for none. */
  readonly finish?: Finish;
  /** Noise taken out of weak lines; absent for none. */
  readonly smooth?: SettledSmooth;
  /** Stars laid over the finished mix; absent for none. */
  readonly stars?: SettledStars;
  /** Stars of the lines themselves; absent where they stay as they are. */
  readonly ownStars?: SettledOwnStars;
  /** The part of the frame that the picture shows, in pixels from the top left; absent for all of it. */
  readonly crop?: Box;
  readonly space: SpaceName;
  readonly highlights: 'ratio' | 'clip';
  readonly gamut: GamutName;
}
