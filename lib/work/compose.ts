import type { NoiseShares } from '../hours/noise-shares.ts';
import type { Channel } from '../measure/measure.ts';
import { cropped } from '../plane/cropped.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { cropChannels, findCrop } from '../recipe/settle/find-crop.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { checkStars, type OpenStars } from './open-stars.ts';

/** All that a picture is rendered from. */
export interface Composition {
  readonly settled: Settled;
  readonly channels: readonly Channel[];
  /** Red, green and blue of the stars to be laid over, or what the colour of the lines' own stars is changed by: see `BandWork`. */
  readonly stars: readonly PlaneSource[] | undefined;
  readonly warnings: readonly string[];
}

/** What is added to a mix. */
export interface Additions {
  readonly stars?: OpenStars | undefined;
  /** Whether it is cut to the largest rectangle that all its lines cover. */
  readonly crop?: boolean | undefined;
}

/** What is added to a mix, and whether its noise is scaled as longer exposures would. */
export interface MixAdditions extends Additions {
  readonly longer?: NoiseShares | undefined;
}

/**
 * Adds to a settled mix what concerns the picture as a whole: stars to be laid over, and the crop to what all channels
 * cover.
 * @throws LinewashError 'input' where the stars do not fit, or nothing is left to crop to.
 */
export const compose = async (
  mix: Pick<Composition, 'settled' | 'channels' | 'warnings'> & Partial<Pick<Composition, 'stars'>>,
  recipe: Recipe,
  { stars, crop }: Additions,
  options: StripOptions = {},
): Promise<Composition> => {
  const starry = stars === undefined ? { ...mix, stars: mix.stars } : await addStars(mix, recipe, stars, options);
  const found = crop ? await findCrop(mix.channels, options) : undefined;
  if (found === undefined) return starry;
  const { box } = found;
  return {
    settled: { ...starry.settled, crop: box },
    channels: cropChannels(mix.channels, box),
    stars: starry.stars?.map((source) => cropped(source, box)),
    warnings: [...starry.warnings, ...found.warnings],
  };
};

const addStars = async (
  mix: Pick<Composition, 'settled' | 'channels' | 'warnings'>,
  recipe: Recipe,
  over: OpenStars,
  options: StripOptions,
): Promise<Composition> => {
  checkStars(mix.channels[0]!, over, recipe);
  const stars = await over.settled(recipe.stars, options);
  const first = over.sources[0]!;
  const warnings = [...mix.warnings, ...first.warnings.map((warning) => `${first.file}: ${warning}`)];
  return { settled: { ...mix.settled, stars }, channels: mix.channels, stars: over.sources, warnings };
};
