import { clampUnit } from '../../colour/encode.ts';
import { inGamut } from '../../colour/gamut/method.ts';
import { GAMUT_METHODS } from '../../colour/gamut.ts';
import { limitGreen } from '../../colour/green-limit.ts';
import { HIGHLIGHTS } from '../../colour/highlights.ts';
import { replaceLuminance } from '../../colour/luminance.ts';
import type { Space } from '../../colour/space.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { Finish } from '../../finish/finish.ts';
import { finishFunction } from '../../finish/finished.ts';
import { orNothing } from '../../plane/signed-sum.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES } from '../../stretch/curves.ts';
import type { Settled, SettledStretch } from './settled.ts';

/**
 * One pixel of the picture: physical values in the order of the settled channels to display values in rgb[0…2],
 * each in [0, 1], not rounded. All values must be finite.
 */
export type PixelFunction = (physical: ArrayLike<number>, rgb: Float64Array) => void;

type Step = (rgb: Float64Array, stretched: Float64Array) => void;
type Limit = (rgb: Float64Array) => void;
const NONE = new Float64Array(0);

/**
 * Settled numbers as a function of one pixel in float64: what the kernels compute, without their rounding to samples.
 * For work on single colours (noise, probes); a kernel is faster on rows.
 */
export const pixelFunction = (settled: Settled): PixelFunction => {
  const mixed = mixedFunction(settled);
  const steps = limitsOf(settled);
  return (physical, rgb) => {
    mixed(physical, rgb);
    for (const step of steps) step(rgb);
    each(rgb, clampUnit);
  };
};

/** One pixel in linear light as it comes to the finish: highlights are back, negative channels are not. */
export const lightFunction = (settled: Settled): PixelFunction => {
  const mixed = mixedFunction(settled);
  const steps = beforeFinish(settled);
  return (physical, rgb) => {
    mixed(physical, rgb);
    for (const step of steps) step(rgb);
  };
};

/** The same after its finish, before what follows brings it into the space; undefined where there is none. */
export const finishedFunction = (settled: Settled): PixelFunction | undefined => {
  const { finish } = settled;
  if (finish === undefined) return undefined;
  const light = lightFunction(settled);
  const finished = finishFunction(finish, SPACES[settled.space]);
  return (physical, rgb) => {
    light(physical, rgb);
    finished(rgb);
  };
};

/**
 * One pixel as it is mixed, before highlights, finish and gamut: display values for `mixIn: display`, linear light for
 * `light`. What lies below 0 or above 1 is what those steps bring back.
 */
export const mixedFunction = (settled: Settled): PixelFunction => {
  const { channels, matrix } = settled;
  const stretch = stretchFunction(settled);
  const stretched = new Float64Array(channels.length);
  const mixers = matrix.map(mixer);
  const steps = settled.mixIn === 'light' ? lightSteps(settled) : displaySteps(settled);
  return (physical, rgb) => {
    stretch(physical, stretched);
    for (let b = 0; b < 3; b++) rgb[b] = mixers[b]!(stretched);
    for (const step of steps) step(rgb, stretched);
  };
};

/** Physical values to the stretched strengths, 0…1, that the weights are applied to. */
export const stretchFunction = ({ channels }: Settled): PixelFunction => {
  const curves = channels.map(({ stretch }) => curveOf(stretch));
  return (physical, stretched) => {
    for (let c = 0; c < channels.length; c++) {
      const { background, black, white } = channels[c]!;
      stretched[c] = curves[c]!(clampUnit((physical[c]! - background - black) / (white - black)));
    }
  };
};

const curveOf = ({ curve, ...parameters }: SettledStretch): ((t: number) => number) =>
  (CURVES[curve] as CurveKind).curve(parameters);

const weighted = (weights: ArrayLike<number>, values: Float64Array): number => {
  let sum = 0;
  for (let c = 0; c < weights.length; c++) sum += weights[c]! * values[c]!;
  return sum;
};

/** One row of weights; where they have both signs, nothing is left of what cancels but for rounding. */
const mixer = (row: readonly number[]): ((stretched: Float64Array) => number) => {
  const weights = Float64Array.from(row);
  if (!weights.some((w) => w < 0)) return (stretched) => weighted(weights, stretched);
  const sizes = weights.map(Math.abs);
  return (stretched) => orNothing(weighted(weights, stretched), weighted(sizes, stretched));
};

const each = (rgb: Float64Array, map: (v: number) => number): void => {
  for (let b = 0; b < 3; b++) rgb[b] = map(rgb[b]!);
};

const greenStep = ({ greenLimit }: Settled): Step[] =>
  greenLimit === undefined ? [] : [(rgb) => limitGreen(rgb, 0, greenLimit.amount, greenLimit.mean)];

/** The lightness row's mix, brought to light, takes the place of the luminance of a linear colour. */
const replacer = (lightness: readonly number[], toLight: (v: number) => number, space: Space): Step => {
  return (rgb, stretched) => replaceLuminance(rgb, 0, space, toLight(clampUnit(weighted(lightness, stretched))));
};

const displaySteps = (settled: Settled): Step[] => {
  const space = SPACES[settled.space];
  const replace = settled.lightness && replacer(settled.lightness, space.display.decode, space);
  return [...greenStep(settled), ...(replace ? [inLinear(space, replace)] : [])];
};

const limitsOf = (settled: Settled): Limit[] => {
  if (settled.finish !== undefined) return finishLimits(settled, settled.finish);
  return settled.mixIn === 'light' ? lightLimits(settled) : displayLimits(settled);
};

/** Highlights come back before the finish, in the values that were mixed; the finish works on light. */
const beforeFinish = ({ space: name, highlights, mixIn }: Settled): Limit[] => {
  const space = SPACES[name];
  return [
    (rgb) => HIGHLIGHTS[highlights](rgb, 0, space),
    ...(mixIn === 'display' ? [(rgb: Float64Array) => each(rgb, space.display.decode)] : []),
  ];
};

const finishLimits = (settled: Settled, finish: Finish): Limit[] => [
  ...beforeFinish(settled),
  finishFunction(finish, SPACES[settled.space]),
  ...lightLimits(settled),
];

const displayLimits = (settled: Settled): Limit[] => {
  const space = SPACES[settled.space];
  const map = GAMUT_METHODS[settled.gamut].map;
  const gamut = inLinear(space, (rgb) => map(rgb, 0, space));
  return [
    (rgb) => HIGHLIGHTS[settled.highlights](rgb, 0, space),
    (rgb) => {
      // Display values inside the range need no journey through light and come out bit for bit.
      if (!inGamut(rgb, 0)) gamut(rgb, NONE);
    },
    // A file of linear light holds light, whatever was mixed.
    ...(space.transfer === 'linear' ? [(rgb: Float64Array) => each(rgb, space.display.decode)] : []),
  ];
};

/** A step in linear light on display values. */
const inLinear =
  (space: Space, step: Step): Step =>
  (rgb, stretched) => {
    each(rgb, space.display.decode);
    step(rgb, stretched);
    each(rgb, space.display.encode);
  };

const lightSteps = (settled: Settled): Step[] => {
  const space = SPACES[settled.space];
  const curve = settled.intensity && curveOf(settled.intensity);
  return [
    ...(curve ? [lift(curve)] : []),
    ...greenStep(settled),
    ...(settled.lightness ? [replacer(settled.lightness, curve ?? space.display.decode, space)] : []),
  ];
};

const lightLimits = (settled: Settled): Limit[] => {
  const space = SPACES[settled.space];
  const map = GAMUT_METHODS[settled.gamut].map;
  return [
    (rgb) => HIGHLIGHTS[settled.highlights](rgb, 0, space),
    (rgb) => map(rgb, 0, space),
    (rgb) => each(rgb, space.encode),
  ];
};

/**
 * Applies a curve to the intensity (mean of the three colours) and keeps their ratios: l · F(I) / I.
 * Source: Lupton et al. 2004, PASP 116:133. Colours without intensity become black.
 */
const lift =
  (curve: (t: number) => number): Step =>
  (rgb) => {
    const sizes = Math.abs(rgb[0]!) + Math.abs(rgb[1]!) + Math.abs(rgb[2]!);
    const intensity = orNothing(rgb[0]! + rgb[1]! + rgb[2]!, sizes) / 3;
    const factor = intensity > 0 ? curve(Math.min(1, intensity)) / intensity : 0;
    each(rgb, (v) => v * factor);
  };
