import { type Channel, checkSizes, measureChannels } from '../../measure/measure.ts';
import type { Measured } from '../../plane/measured.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { FoundStars } from '../../stars/star-list.ts';
import type { Recipe } from '../written/schema.ts';
import { changesOwnStars } from '../written/star-wish.ts';
import { findBackgrounds } from './find-backgrounds.ts';
import { findFactors } from './find-factors.ts';
import type { Findings } from './findings.ts';
import { gridsOf } from './grids.ts';
import { notebook } from './notes.ts';
import { preparedChannels } from './prepared.ts';
import { neededPercentiles, usedChannels } from './settle.ts';
import { linesWithNoise } from './settle-smooth.ts';

/** The channels whose masters a recipe needs: those it uses, and those it subtracts from them. */
export const neededChannels = (recipe: Recipe): string[] => {
  const used = usedChannels(recipe);
  const broad = used.flatMap((name) => recipe.continuum?.[name]?.from ?? []);
  return [...new Set([...used, ...broad])];
};

/** What preparing and measuring the channels gave: all that `settle` needs of them. */
export interface Preparation {
  /** Statistics of the prepared channels: gradients and continua taken off. */
  readonly measured: readonly Measured[];
  readonly findings: Findings;
  /** The stars of the channels; absent where the recipe leaves them as they are. */
  readonly stars?: FoundStars;
  readonly warnings: readonly string[];
}

/**
 * Prepares channels as a recipe asks and measures them.
 * Reads every master two to four times; once more for each surface, level, scale or continuum to be found.
 * The result depends on the recipe only through `preparationKey`.
 * @param channels sources of all `neededChannels`, for the full picture
 * @param measure measures the prepared channels; who keeps measurements of the same channels may give them
 * @throws LinewashError 'input' where the channels do not fit together or something asked for cannot be found in them.
 */
export const prepareChannels = async (
  recipe: Recipe,
  channels: readonly Channel[],
  options: StripOptions = {},
  measure: typeof measureChannels = measureChannels,
): Promise<Preparation> => {
  checkSizes(channels);
  const notes = notebook();
  const used = usedChannels(recipe);
  const quiet: StripOptions = { signal: options.signal, executor: options.executor };
  // What few recipes ask for is loaded for them only.
  if (recipe.spots !== undefined) {
    const { findSpots } = await import('./find-spots.ts');
    const lines = used.map((name) => channels.find((channel) => channel.name === name)!);
    await findSpots(recipe, lines, notes, quiet);
  }
  const hasSpots = Object.values(notes.findings).some(({ spots }) => spots !== undefined);
  const whole = hasSpots ? (await import('./find-spots.ts')).filledChannels(channels, notes.findings) : channels;
  if (recipe.background?.model === 'surface')
    await (await import('./find-surfaces.ts')).findSurfaces(recipe, whole, notes, quiet);
  if (recipe.continuum !== undefined)
    await (await import('./find-continua.ts')).findContinua(recipe, whole, notes, quiet);
  const prepared = preparedChannels({ channels: used.map((name) => ({ name, ...notes.findings[name] })) }, channels);
  const measured = await measure(prepared, { ...options, percentiles: neededPercentiles(recipe) });
  const grids = gridsOf(prepared, quiet);
  await findBackgrounds(recipe, prepared, measured, grids, notes);
  await findFactors(recipe, measured, grids, notes);
  if (linesWithNoise(recipe, used).length > 0)
    await (await import('./find-line-noise.ts')).findLineNoise(recipe, prepared, notes, quiet);
  const stars = changesOwnStars(recipe.stars)
    ? await (await import('./find-own-stars.ts')).findOwnStars(recipe, prepared, measured, notes, quiet)
    : undefined;
  return { measured, findings: notes.findings, ...(stars && { stars }), warnings: notes.warnings };
};

/** Recipes of one key share a preparation on the same masters. */
export const preparationKey = (recipe: Recipe): string => {
  const { background, continuum, scale, zeros, smooth, spots } = recipe;
  const leastNoise = recipe.lightness === 'least-noise';
  // Whatever the strength, the noise is the same.
  const { strength, scales: _, ...noise } = smooth ?? {};
  const ownStars = changesOwnStars(recipe.stars);
  const smoothing = strength || ownStars ? noise : undefined;
  const parts = [
    usedChannels(recipe),
    neededPercentiles(recipe),
    background,
    continuum,
    scale,
    zeros,
    leastNoise,
    smoothing,
    ownStars,
    spots,
  ];
  return JSON.stringify(parts);
};
