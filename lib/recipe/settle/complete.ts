import type { Channel } from '../../measure/measure.ts';
import type { Measured } from '../../plane/measured.ts';
import type { Recipe } from '../written/schema.ts';
import { changesOwnStars } from '../written/star-wish.ts';
import { wishFor } from './levels.ts';
import { usedChannels } from './settle.ts';
import { asksForGain, asksForSky } from './settle-finish.ts';
import { linesWithNoise } from './settle-smooth.ts';

/** Whether a recipe states every number itself, so that nothing has to be measured. */
export const statesAllNumbers = (recipe: Recipe): boolean => {
  const { background, scale = 'each', lightness, continuum, smooth, stars, spots } = recipe;
  if (scale !== 'each' || lightness === 'least-noise') return false;
  // Stated ones are held against the frame.
  if (spots !== undefined) return false;
  const used = usedChannels(recipe);
  if (used.some((name) => continuum?.[name] !== undefined)) return false;
  if (changesOwnStars(stars) || asksForSky(recipe) || asksForGain(recipe)) return false;
  if (smooth?.strength && smooth.guide === undefined) return false;
  if (linesWithNoise(recipe, used).some((name) => smooth?.noise?.[name] === undefined)) return false;
  return used.every((name) => hasLevels(recipe, name) && hasBackground(background, name) && hasCurve(recipe, name));
};

const hasLevels = ({ levels }: Recipe, name: string): boolean => {
  const { black, white } = wishFor(levels, name);
  return typeof black === 'number' && typeof white === 'number' && Math.fround(white) > Math.fround(black);
};

const hasBackground = (background: Recipe['background'], name: string): boolean => {
  const model = background?.model ?? 'level';
  if (model === 'none') return true;
  return model === 'level' && (background?.at?.[name] ?? background?.at?.['*']) !== undefined;
};

/** In light one curve, that of `*`, serves all. */
const hasCurve = ({ stretch, mixIn }: Recipe, name: string): boolean => {
  const { curve, a } = wishFor(stretch, mixIn === 'light' ? '*' : name);
  return curve === 'linear' || curve === 'points' || a !== undefined;
};

/**
 * Measurements for a recipe that needs none: what the headers say, and NaN for all that was not measured, so that
 * nothing can use it unnoticed.
 */
export const withoutMeasuring = (channels: readonly Channel[]): Measured[] =>
  channels.map(({ name, source }) => ({
    name,
    file: source.file,
    width: source.width,
    height: source.height,
    type: source.type,
    filter: source.facts.filter,
    hours: source.facts.hours,
    min: Number.NaN,
    max: Number.NaN,
    median: Number.NaN,
    madSpread: Number.NaN,
    level: Number.NaN,
    spread: Number.NaN,
    percentiles: {},
    counted: Number.NaN,
    undefined: Number.NaN,
    saturated: Number.NaN,
    flat: false,
    stretched: false,
  }));
