import { LinewashError } from '../plane/errors.ts';
import { planeSource } from '../plane/memory-plane.ts';
import { type OutputSample, outputRows } from '../plane/picture.ts';
import type { Samples } from '../plane/plane.ts';
import { statesAllNumbers, withoutMeasuring } from '../recipe/settle/complete.ts';
import { settle, usedChannels } from '../recipe/settle/settle.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { finishSlots } from '../recipe/written/finish-wish.ts';
import { RECIPE_VERSION } from '../recipe/written/limits.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { fastKernelFor } from './fast-kernel.ts';
import { jsKernel } from './js-kernel.ts';
import type { Picture } from './picture.ts';

/** Weights by channel: rows red, green, blue; columns in the order in which the channels are given. */
export type MixMatrix = readonly (readonly number[])[];

/** Form of the picture that `mixArrays` makes. */
export interface MixArraysForm {
  readonly width: number;
  readonly height: number;
  /** `u8` where absent. */
  readonly sample?: OutputSample | undefined;
  /** Adds alpha: 0 where a used channel has no data. */
  readonly alpha?: boolean | undefined;
}

/**
 * Maps registered, stretched channels through a matrix to colour, at once and without files. Values are display values
 * from 0 (black) to 1 (white), rows top first; what lies beyond is clipped, NaN and ±Infinity are undefined and come out
 * black. Nothing is measured: a recipe's background, smoothing, levels and curves are left out, since the channels are stretched
 * already; its matrix, balance, lightness, green limit, finish, highlights, gamut and colour space apply, and for `mixIn: light`
 * the curve of the intensity.
 * @param channels by name, each with width · height values
 * @param mix a recipe whose weights are numbers, or a matrix, which is taken as written
 * @returns pixels interleaved, red, green, blue and, if asked for, alpha
 * @throws LinewashError 'recipe' where the recipe uses a channel that is not given, or needs what only masters tell
 */
export const mixArrays = (
  channels: Readonly<Record<string, Samples>>,
  { width, height, sample = 'u8', alpha = false }: MixArraysForm,
  mix: WrittenRecipe | MixMatrix,
): Picture => {
  const recipe = isMatrix(mix) ? matrixRecipe(Object.keys(channels), mix) : stretchedRecipe(numbersOnly(mix));
  const settled = settledFor(recipe, channels, width, height);
  const form = { sample, bands: alpha ? (4 as const) : (3 as const) };
  const inputs = settled.channels.map(({ name }) => channels[name]!);
  const data = outputRows(sample, width * height * form.bands);
  const kernel = fastKernelFor(settled, form) ?? jsKernel(settled, form);
  kernel(inputs, width * height, data);
  return { width, height, bands: form.bands, data };
};

/**
 * A recipe settled for lines that are stretched already, all 0…1.
 * @throws LinewashError 'recipe' where it needs what only masters tell
 */
export const settledForStretched = (recipe: Recipe): Settled => {
  const none = new Float32Array(0);
  const channels = Object.fromEntries(usedChannels(recipe).map((name) => [name, none]));
  return settledFor(stretchedRecipe(recipe), channels, 1, 1);
};

/** Expressions and colours are read by packages that are loaded when first needed, and nothing is waited for here. */
const numbersOnly = (recipe: WrittenRecipe): Recipe => {
  const { matrix, lightness, finish = {} } = recipe;
  const finishes = finishSlots(finish).every(({ value }) => typeof value === 'number');
  if (
    finishes &&
    matrix &&
    [...matrix, Array.isArray(lightness) ? lightness : []].flat().every((w) => typeof w === 'number')
  )
    return recipe as Recipe;
  throw recipeFault(
    'the recipe has weights or a finish that are no numbers, or colours of lines',
    'give plainRecipe(recipe), of linewash/parts, in its place',
  );
};

const isMatrix = (mix: WrittenRecipe | MixMatrix): mix is MixMatrix => Array.isArray(mix);

const STRETCHED = {
  background: { model: 'none' },
  levels: { '*': { black: 0, white: 1 } },
  scale: 'each',
} as const satisfies Partial<Recipe>;

const matrixRecipe = (names: readonly string[], matrix: MixMatrix): Recipe => ({
  linewash: RECIPE_VERSION,
  channels: [...names],
  matrix: matrix.map((row) => [...row]),
  balance: 'as-written',
  stretch: { '*': { curve: 'linear' } },
  ...STRETCHED,
});

/** The recipe for channels that are stretched already. */
const stretchedRecipe = ({ continuum: _, stars: __, smooth: ___, spots: ____, ...recipe }: Recipe): Recipe => ({
  ...recipe,
  ...STRETCHED,
  ...(recipe.mixIn !== 'light' && { stretch: { '*': { curve: 'linear' as const } } }),
});

const settledFor = (
  recipe: Recipe,
  channels: Readonly<Record<string, Samples>>,
  width: number,
  height: number,
): Settled => {
  const missing = usedChannels(recipe).find((name) => channels[name] === undefined);
  if (missing !== undefined) throw recipeFault(`the recipe uses ${missing}, which is not given`, `give ${missing} too`);
  if (!statesAllNumbers(recipe))
    throw recipeFault(
      'the recipe needs measured masters: for the lightness "least-noise", the curve of a mix in light, or the chroma of a finish',
      'state the lightness, "a" of the curve, and "gain" and "from" of the chroma as numbers',
    );
  const stand = { width, height, data: new Float32Array(0) };
  const given = Object.keys(channels).map((name) => ({ name, source: planeSource(name, stand) }));
  return settle(recipe, withoutMeasuring(given), {}).settled;
};

const recipeFault = (message: string, advice: string): LinewashError =>
  new LinewashError({ tag: 'recipe', message, advice });
