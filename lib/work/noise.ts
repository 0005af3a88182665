import type { surveyLine } from '../hours/survey.ts';
import { type SurveyChannelsOptions, type SurveyedChannels, surveyChannels } from '../hours/survey-channels.ts';
import type { Progress } from '../plane/progress.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { leavingOwnStars } from '../recipe/written/star-wish.ts';
import { type Mix, mixLines } from './mix.ts';
import type { OpenLines } from './open-lines.ts';

/** The noise of the lines of a mix: what every answer about hours rests on. */
export interface NoiseOfMix extends SurveyedChannels {
  /** The mix itself, with what is to be said of its masters. */
  readonly mix: Mix;
}

/** Where noise is looked for, and hours that stand instead of the header's. */
export type NoiseWish = Pick<SurveyChannelsOptions, 'time' | 'tally' | 'box' | 'outline' | 'background'>;

export interface NoiseOptions extends StripOptions {
  /** Told 0…1 of the survey, which comes after the measuring that `progress` is told of. */
  readonly surveying?: Progress | undefined;
  /** Gives the survey of a line of the settled mix, where somebody remembers some. */
  readonly survey?: ((settled: Settled) => typeof surveyLine) | undefined;
}

/**
 * Settles a recipe on open lines, measures their noise and carries it through the recipe.
 * @throws LinewashError 'input' where masters and recipe do not fit together, or a box holds too little.
 */
export const noiseOfMix = async (
  lines: OpenLines,
  recipe: Recipe,
  { time, tally, box, outline, background }: NoiseWish,
  { surveying, survey, ...options }: NoiseOptions = {},
): Promise<NoiseOfMix> => {
  // Stars change neither the noise of a line nor how it is carried on.
  const mix = await mixLines(lines, leavingOwnStars(recipe), {}, options);
  const wish = { time, tally, box, outline, background, signal: options.signal, progress: surveying };
  const surveyed = await surveyChannels(mix.settled, mix.measured, mix.unsmoothed, wish, survey?.(mix.settled));
  return { ...surveyed, mix };
};
