import { type Channel, checkSizes } from '../measure/measure.ts';
import { cropped } from '../plane/cropped.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { cropChannels, findCrop } from '../recipe/settle/find-crop.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { settleStars } from '../recipe/settle/stars.ts';
import type { Recipe } from '../recipe/written/schema.ts';

/** Red, green and blue of a picture of the stars. */
export interface StarSources {
  readonly sources: readonly PlaneSource[];
}

/** All that a picture is rendered from. */
export interface Composition {
  readonly settled: Settled;
  readonly channels: readonly Channel[];
  /** Red, green and blue of the stars to be laid over. */
  readonly stars: readonly PlaneSource[] | undefined;
  readonly warnings: readonly string[];
}

/**
 * Adds to a settled mix what concerns the picture as a whole: stars to be laid over, and the crop to what all channels
 * cover.
 * @throws LinewashError 'input' where the stars do not fit, or nothing is left to crop to.
 */
export const compose = async (
  mix: Pick<Composition, 'settled' | 'channels' | 'warnings'>,
  recipe: Recipe,
  {
    stars,
    crop,
    signal,
  }: { stars?: StarSources | undefined; crop?: boolean | undefined } & Pick<StripOptions, 'signal'>,
): Promise<Composition> => {
  const starry = stars === undefined ? { ...mix, stars: undefined } : await addStars(mix, recipe, stars, { signal });
  const found = crop ? await findCrop(mix.channels, { signal }) : undefined;
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
  { sources }: StarSources,
  options: StripOptions,
): Promise<Composition> => {
  checkSizes([mix.channels[0]!, ...sources.map((source) => ({ name: 'stars', source }))]);
  const stars = await settleStars(recipe.stars ?? {}, sources, options);
  const warnings = [...mix.warnings, ...sources[0]!.warnings.map((w) => `${sources[0]!.file}: ${w}`)];
  return { ...mix, settled: { ...mix.settled, stars }, stars: sources, warnings };
};
