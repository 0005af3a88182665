import { GREEN_MEANS } from '../../colour/green-limit.ts';
import { luminanceOf } from '../../colour/luminance.ts';
import { SPACES } from '../../colour/spaces.ts';
import { beforeFinish } from '../../finish/inverse.ts';
import type { Triple } from '../../plane/linear.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES } from '../../stretch/curves.ts';
import { ofStrengths } from '../settle/of-strengths.ts';
import { mixedFunction, type PixelFunction, pixelFunction } from '../settle/pixel.ts';
import type { Settled } from '../settle/settled.ts';

/** A function of one pixel as a function from strengths to a colour. */
const triple =
  (step: PixelFunction) =>
  (strengths: readonly number[]): Triple => {
    const rgb = new Float64Array(3);
    step(strengths, rgb);
    return [rgb[0]!, rgb[1]!, rgb[2]!];
  };

/** What a settled mix shows where its lines have given strengths: linear light of its space, 0…1. */
export const shownLight = (settled: Settled): ((strengths: readonly number[]) => Triple) => {
  const space = SPACES[settled.space];
  const shown = triple(pixelFunction(ofStrengths(settled)));
  return (strengths) => shown(strengths).map(space.decode) as unknown as Triple;
};

/** Halvings of 0…1: more than float64 can tell apart. */
const HALVINGS = 60;

/** The x in 0…1 at which a rising curve reaches y; an end where it does not. */
const undo = (curve: (x: number) => number, y: number): number => {
  let [low, high] = [0, 1];
  for (let round = 0; round < HALVINGS; round++) {
    const middle = (low + high) / 2;
    if (curve(middle) < y) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

/**
 * What the weights have to give so that the steps after them show a colour: those steps undone, the last first. Where a
 * lightness row decides how bright a pixel is, only ratios can be given: the mix keeps the luminance that it has. Where
 * green is limited in full, more green than the limit cannot be reached, and the limit itself is given.
 * @param light linear light of the mix's space; each 0…1
 * @param strengths of the lines at the place, 0…1
 */
export const beforeSteps = (settled: Settled, light: Triple, strengths: readonly number[]): Triple => {
  const space = SPACES[settled.space];
  const unfinished = settled.finish ? beforeFinish(settled.finish, space, light) : light;
  const kept = settled.lightness === undefined ? unfinished : withPresentLuminance(settled, unfinished, strengths);
  if (settled.mixIn === 'display') return beforeGreenLimit(settled, kept.map(space.display.encode));
  const lit = beforeGreenLimit(settled, [...kept]);
  return settled.intensity === undefined ? lit : beforeLift(settled.intensity, lit);
};

const withPresentLuminance = (settled: Settled, light: Triple, strengths: readonly number[]): Triple => {
  const space = SPACES[settled.space];
  const { lightness: _, ...plain } = settled;
  const mixed = triple(mixedFunction(ofStrengths(plain)))(strengths);
  const toLight = settled.mixIn === 'display' ? space.display.decode : (v: number) => v;
  const [present, wanted] = [mixed.map(toLight), light].map((rgb) => luminanceOf(Float64Array.from(rgb), 0, space));
  return present! > 0 && wanted! > 0 ? (light.map((v) => (v * present!) / wanted!) as unknown as Triple) : light;
};

const beforeGreenLimit = ({ greenLimit }: Settled, rgb: readonly number[]): Triple => {
  const [red, green, blue] = rgb as unknown as Triple;
  if (greenLimit === undefined) return [red, green, blue];
  const most = GREEN_MEANS[greenLimit.mean](red, blue);
  if (green <= most) return [red, green, blue];
  return [red, greenLimit.amount < 1 ? most + (green - most) / (1 - greenLimit.amount) : most, blue];
};

const beforeLift = ({ curve, ...parameters }: NonNullable<Settled['intensity']>, rgb: Triple): Triple => {
  const lifted = (rgb[0] + rgb[1] + rgb[2]) / 3;
  if (!(lifted > 0)) return rgb;
  const intensity = undo((CURVES[curve] as CurveKind).curve(parameters), lifted);
  return rgb.map((v) => (v * intensity) / lifted) as unknown as Triple;
};
