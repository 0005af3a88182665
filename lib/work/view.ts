import type { NoiseShares } from '../hours/noise-shares.ts';
import type { Channel } from '../measure/measure.ts';
import { cropped } from '../plane/cropped.ts';
import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import type { LayeredChannels } from '../recipe/settle/layered.ts';
import { unsmoothedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import type { Smoother } from '../smooth/remembered.ts';
import type { Composition } from './compose.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';
import { checkStars, type OpenStars } from './open-stars.ts';
import type { Part } from './part.ts';

export type { Part } from './part.ts';

/** A mix to be looked at. */
export interface View extends Composition {
  /** Its channels before smoothing; the same ones where nothing is smoothed. */
  readonly unsmoothed: readonly Channel[];
  /** The numbers of its lines at full size, which it was settled on. */
  readonly measured: readonly Measured[];
  /** What concerns the masters whatever the recipe. */
  readonly notes: readonly string[];
}

export interface ViewOptions extends StripOptions {
  /** Gives a smoother that may remember, for what is told of the channels beside the masters themselves. */
  readonly smoother?: ((pixels: string) => Smoother) | undefined;
  /** Scales the noise of lines as longer exposures would; see `longerMix`. */
  readonly longer?: NoiseShares | undefined;
}

/**
 * Settles a recipe on open lines at full size and gives the pixels of one part of it, ready to be rendered.
 * @throws LinewashError 'input' where masters, recipe and stars do not fit together.
 */
export const viewLines = async (
  lines: OpenLines,
  recipe: Recipe,
  wish: Part,
  over?: OpenStars,
  options: ViewOptions = {},
): Promise<View> => {
  const { signal, smoother, longer } = options;
  const { settled: now, measured, notes, warnings } = await lines.settle(recipe, options);
  const [names, zeros] = [neededChannels(recipe), zerosOf(recipe)];
  const part = (source: PlaneSource) => (wish.box ? cropped(source, wish.box) : source);
  const hasSpots = now.channels.some(({ spots }) => spots !== undefined);
  const taken = wish.box
    ? unsmoothedChannels(now, await lines.full(names, zeros, { signal }))
    : hasSpots
      ? await (await import('./small-filled.ts')).smallFilled(lines, recipe, now, wish.longest, { signal })
      : unsmoothedChannels(now, await lines.small(names, zeros, wish.longest, { signal }));
  const { settled, channels: prepared } =
    longer === undefined
      ? { settled: now, channels: taken }
      : await (await import('./longer.ts')).longerMix(lines, recipe, { settled: now, channels: taken }, longer, {
          signal,
        });
  const unsmoothed = prepared.map(({ name, source }) => ({ name, source: part(source) }));
  const known = smoother?.(
    JSON.stringify([settled.channels.map(pixelsOf), starsKey(settled), zeros, wish.longest, wish.box, longer]),
  );
  // What few recipes ask for is loaded for them only.
  const layers: LayeredChannels =
    settled.smooth || settled.ownStars
      ? await (await import('./view-layers.ts')).layersOfView(
          lines,
          recipe,
          { settled, prepared, smoother: known },
          wish,
          { signal },
        )
      : { channels: unsmoothed };
  const { stars: ownLayer } = layers;
  const view = { ...layers, unsmoothed, measured, notes, warnings };
  if (over === undefined) return { ...view, settled, stars: ownLayer };
  checkStars((await lines.full(names.slice(0, 1), zeros, { signal }))[0]!, over, recipe);
  const stars = (wish.box ? over.sources : await over.small(wish.longest, { signal })).map(part);
  return { ...view, settled: { ...settled, stars: await over.settled(recipe.stars, { signal }) }, stars };
};

/** What the pixels of a channel depend on beside the masters. */
const pixelsOf = ({ name, surface, continuum, spots }: Settled['channels'][number]) => [
  name,
  surface,
  continuum,
  spots,
];

/** The stars that are taken out before smoothing. */
const starsKey = ({ ownStars }: Settled) => ownStars && [ownStars.hash, ownStars.radius];
