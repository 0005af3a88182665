import { rgbToOklab } from '../../colour/oklab.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { ChromaGain, Finish } from '../../finish/finish.ts';
import { bendsOf } from '../written/finish-wish.ts';
import { USUAL_FADE, USUAL_UNTIL } from '../written/limits.ts';
import type { FinishWish, Recipe } from '../written/schema.ts';
import { pixelFunction } from './pixel.ts';
import type { Settled } from './settled.ts';

/** The level of a line's sky and the noise of one of its pixels, in file units. */
export interface LineSky {
  readonly level: number;
  readonly noise: number;
}

/** How many times its noise above the sky a gain on chroma begins. */
const ABOVE_SKY = 2;

/** Whether a finish has a gain on chroma to be found from the picture. */
export const asksForGain = ({ finish }: Pick<Recipe, 'finish'>): boolean => {
  const chroma = finish?.chroma;
  return chroma !== undefined && (chroma === 'auto' || chroma.gain === undefined);
};

/** Whether a finish needs to know the sky. */
export const asksForSky = ({ finish }: Pick<Recipe, 'finish'>): boolean => {
  const chroma = finish?.chroma;
  return chroma !== undefined && (chroma === 'auto' || chroma.from === undefined);
};

/** OKLab lightness of a sky that is shown at the usual level, .12: it stands for the sky where no masters are at hand. */
const USUAL_SKY = 0.2376;

/** What a recipe says of its finish before it has seen any masters; a gain that has to be found is left out. */
export const statedFinish = (recipe: Pick<Recipe, 'finish'>): Finish | undefined => {
  const { finish } = recipe;
  if (finish === undefined) return undefined;
  const { chroma, ...rest } = finish;
  if (chroma === undefined || asksForGain(recipe)) return partsOf(rest);
  const { gain = 1, from = USUAL_SKY, to, until = USUAL_UNTIL } = chroma as GainWish;
  return partsOf(rest, { gain, from, to: endOf(from, to), until });
};

/**
 * The finish of a recipe with its numbers, but for a gain that has to be found from the picture: that is 1.
 * @param settled the rest of the numbers
 * @param sky of each settled channel
 */
export const settleFinish = (
  { finish }: Pick<Recipe, 'finish'>,
  settled: Settled,
  sky: readonly LineSky[],
): Finish | undefined => {
  if (finish === undefined) return undefined;
  const { chroma, ...rest } = finish;
  return partsOf(rest, chroma === undefined ? undefined : gainOf(chroma === 'auto' ? {} : chroma, settled, sky));
};

const partsOf = (wish: Omit<FinishWish, 'chroma'>, chroma?: ChromaGain): Finish | undefined => {
  const { tone = [] } = wish;
  const bends = bendsOf(wish);
  const parts: Finish = {
    ...(tone.length > 0 && { tone: tone.map(([x, y]) => [x, y] as const) }),
    ...(chroma && { chroma }),
    ...(bends.length > 0 && { bends }),
  };
  return Object.keys(parts).length > 0 ? parts : undefined;
};

type GainWish = Exclude<NonNullable<FinishWish['chroma']>, 'auto'>;

const gainOf = (wish: GainWish, settled: Settled, sky: readonly LineSky[]): ChromaGain => {
  const from = wish.from ?? rounded(lightnessAboveSky(settled, sky));
  return { gain: wish.gain ?? 1, from, to: endOf(from, wish.to), until: wish.until ?? USUAL_UNTIL };
};

/** A sky as bright as the recipe's own end still leaves room for the gain to rise. */
const endOf = (from: number, to: number | undefined): number =>
  to !== undefined && to > from ? to : rounded(from + USUAL_FADE);

/** Far finer than anybody sees, and short in a note. */
const rounded = (value: number): number => Number(value.toFixed(4));

/** OKLab lightness of the sky and twice its noise, to first order. */
const lightnessAboveSky = (settled: Settled, sky: readonly LineSky[]): number => {
  const space = SPACES[settled.space];
  const pixel = pixelFunction(settled);
  const rgb = new Float64Array(3);
  const lightness = (values: readonly number[]): number => {
    pixel(values, rgb);
    for (let b = 0; b < 3; b++) rgb[b] = space.decode(rgb[b]!);
    rgbToOklab(rgb, 0, space, rgb, 0);
    return rgb[0]!;
  };
  const levels = sky.map(({ level }) => level);
  const along = sky.map(({ noise }, c) => {
    const at = (sign: number) => lightness(levels.map((level, i) => (i === c ? level + sign * noise : level)));
    return (at(1) - at(-1)) / 2;
  });
  return lightness(levels) + ABOVE_SKY * Math.hypot(...along);
};
