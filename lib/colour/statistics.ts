import { type Matrix, multiplyVector, type Triple } from '../plane/linear.ts';
import { conditionOf, rankOf } from '../plane/svd.ts';
import { formatHex } from './colour-text.ts';
import { encodeRgb, oklchOf } from './convert.ts';
import { differenceOf, okDifferenceOf } from './difference.ts';
import { coloursFromMatrix, type MixDomain } from './from-line-colours.ts';
import { DEFAULT_GAMUT, GAMUT_METHODS, type GamutName } from './gamut.ts';
import { HIGHLIGHTS } from './highlights.ts';
import { hsvHue } from './hsv.ts';
import type { Space } from './space.ts';
import { applyMatrix, VISION_MATRICES, type VisionName, visionMatrix } from './vision.ts';

/** The colour that one line has alone at full strength, as it is shown. */
export interface LineColour {
  /** Linear RGB of the space after highlights and gamut, each in [0, 1]. */
  readonly rgb: Triple;
  /** Display values of the space. */
  readonly display: Triple;
  /** `#rrggbb` in sRGB. */
  readonly hex: string;
  /** OKLCH: lightness, chroma, hue in degrees. */
  readonly oklch: Triple;
  /** HSV hue of the display values in degrees; undefined for a grey. */
  readonly hue: number | undefined;
  /** True where the matrix asks for a colour that the space cannot show. */
  readonly outside: boolean;
}

/** Who looks: with three kinds of cone, or without one of them. */
export type Viewer = 'all' | VisionName;

/** How far apart the colours of two lines are for one kind of viewer. */
export interface Separation {
  /** Positions of the two lines. */
  readonly lines: readonly [number, number];
  readonly viewer: Viewer;
  readonly ciede2000: number;
  readonly deltaEok: number;
}

/** What a matrix says about itself, before any data. */
export interface MatrixStatistics {
  readonly colours: readonly LineColour[];
  /** Lines by rising OKLCH hue; lines whose colour is grey come last. */
  readonly hueOrder: readonly number[];
  readonly separations: readonly Separation[];
  /** Sum of the weights of red, green and blue: equal sums give neutral greys. */
  readonly rowSums: readonly number[];
  /** Share, 0 … 1, of line strengths in [0, 1] whose mix leaves [0, 1] in some channel. */
  readonly outOfGamut: number;
  /** How many of the lines' contributions can be told from each other in the picture: at most 3. */
  readonly rank: number;
  /** Condition number in the 2-norm; Infinity where the rank is below 3 and below the number of lines. */
  readonly condition: number;
}

/** Below this OKLCH chroma a colour counts as grey: its hue is rounding (CSS Color 4 calls it powerless). */
const GREY = 4e-6;
/** How far outside [0, 1] a channel may be by rounding alone. */
const ROUNDING = 1e-9;

/**
 * Statistics of a balanced 3 × N matrix, N = 1 … 8.
 * @param matrix finite weights
 * @param finish what happens to a colour in linear light, in place, before it is brought into the space
 */
export const matrixStatistics = (
  matrix: Matrix,
  mixIn: MixDomain,
  space: Space,
  gamut: GamutName = DEFAULT_GAMUT,
  finish?: (rgb: Float64Array) => void,
): MatrixStatistics => {
  const colours = coloursFromMatrix(matrix, mixIn, space).map((rgb) => shown(rgb, space, gamut, finish));
  return {
    colours,
    hueOrder: hueOrder(colours),
    separations: separations(
      colours.map((colour) => colour.rgb),
      space,
    ),
    rowSums: matrix.map((row) => row.reduce((sum, weight) => sum + weight, 0)),
    outOfGamut: outOfGamut(matrix),
    rank: rankOf(matrix),
    condition: conditionOf(matrix),
  };
};

const shown = (asked: Triple, space: Space, gamut: GamutName, finish?: (rgb: Float64Array) => void): LineColour => {
  const pixel = Float64Array.from(asked);
  HIGHLIGHTS.ratio(pixel, 0, space);
  const whole = pixel.slice();
  if (finish) {
    finish(pixel);
    whole.set(pixel);
    HIGHLIGHTS.ratio(pixel, 0, space);
  }
  GAMUT_METHODS[gamut].map(pixel, 0, space);
  const rgb: Triple = [pixel[0]!, pixel[1]!, pixel[2]!];
  const display = encodeRgb(rgb, space);
  return {
    rgb,
    display,
    hex: formatHex(rgb, space),
    oklch: oklchOf(rgb, space),
    hue: hsvHue(display),
    outside: (finish ? [...whole] : asked).some((value, i) => Math.abs(value - rgb[i]!) > ROUNDING),
  };
};

const hueOrder = (colours: readonly LineColour[]): number[] => {
  const key = ({ oklch: [, chroma, hue] }: LineColour): number => (chroma > GREY ? hue : 360);
  return colours.map((_, i) => i).sort((i, j) => key(colours[i]!) - key(colours[j]!));
};

/**
 * Every pair of colours for every viewer, in CIEDE2000 and ΔEOK.
 * @param colours linear RGB of `space`
 */
export const separations = (colours: readonly Triple[], space: Space): Separation[] => {
  const viewers: readonly Viewer[] = ['all', ...(Object.keys(VISION_MATRICES) as VisionName[])];
  return viewers.flatMap((viewer) => {
    const seen = colours.map((rgb) => seenBy(viewer, rgb, space));
    return seen.flatMap((one, i) =>
      seen.slice(i + 1).map((other, k) => ({
        lines: [i, i + 1 + k] as const,
        viewer,
        ciede2000: differenceOf(one, other, space),
        deltaEok: okDifferenceOf(one, other, space),
      })),
    );
  });
};

const seenBy = (viewer: Viewer, rgb: Triple, space: Space): Triple => {
  if (viewer === 'all') return rgb;
  const pixel = Float64Array.from(rgb);
  applyMatrix(pixel, 0, visionMatrix(viewer, space));
  GAMUT_METHODS.clip.map(pixel, 0, space);
  return [pixel[0]!, pixel[1]!, pixel[2]!];
};

/**
 * Pairs that one cannot count on telling apart: closer than `limit` in CIEDE2000. The default of 10 is ours: ten times
 * what is just noticeable between even patches side by side, since nebulae are neither even nor side by side.
 */
export const confusable = (pairs: readonly Separation[], limit = 10): Separation[] =>
  pairs.filter((pair) => pair.ciede2000 < limit);

const SAMPLES = 4096;

/**
 * The share of line strengths in the unit cube, taken at 4096 evenly spread points, that mix to a value outside [0, 1].
 * The points are the additive recurrence on the generalized golden ratio (M. Roberts, The unreasonable effectiveness of
 * quasirandom sequences, 2018), so the result is the same every time and good to about a percent.
 */
export const outOfGamut = (matrix: Matrix): number => {
  const lines = matrix[0]?.length ?? 0;
  const steps = goldenSteps(lines);
  let outside = 0;
  for (let n = 1; n <= SAMPLES; n++) {
    const strengths = steps.map((step) => (0.5 + n * step) % 1);
    if (multiplyVector(matrix, strengths).some((value) => value < -ROUNDING || value > 1 + ROUNDING)) outside++;
  }
  return outside / SAMPLES;
};

/** φ⁻¹, φ⁻², … for the root φ > 1 of φ^(d+1) = φ + 1. */
const goldenSteps = (dimensions: number): number[] => {
  let phi = 1.5;
  for (let round = 0; round < 64; round++) phi = (1 + phi) ** (1 / (dimensions + 1));
  return Array.from({ length: dimensions }, (_, k) => phi ** -(k + 1));
};
