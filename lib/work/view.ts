import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { cropped } from '../plane/cropped.ts';
import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { type LayeredChannels, layeredChannels, splitChannels, unsmoothedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import type { Smoother } from '../smooth/remembered.ts';
import type { Composition } from './compose.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';
import { checkStars, type OpenStars } from './open-stars.ts';
import { boxWithin, reachOfLayers, smallSplit } from './star-view.ts';

/** What is looked at: all of the picture, its longest side so many pixels, or a box of it pixel for pixel. */
export type Part =
  | { readonly longest: number; readonly box?: undefined }
  | { readonly box: Box; readonly longest?: number | undefined };

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
  const { signal, smoother } = options;
  const { settled, measured, notes, warnings } = await lines.settle(recipe, options);
  const [names, zeros] = [neededChannels(recipe), zerosOf(recipe)];
  const part = (source: PlaneSource) => (wish.box ? cropped(source, wish.box) : source);
  const from = wish.box
    ? await lines.full(names, zeros, { signal })
    : await lines.small(names, zeros, wish.longest, { signal });
  const prepared = unsmoothedChannels(settled, from);
  const unsmoothed = prepared.map(({ name, source }) => ({ name, source: part(source) }));
  const known = smoother?.(
    JSON.stringify([settled.channels.map(pixelsOf), starsKey(settled), zeros, wish.longest, wish.box]),
  );
  const layers = !(settled.smooth || settled.ownStars)
    ? { channels: unsmoothed }
    : wish.box
      ? layersOfBox(settled, prepared, wish.box, known)
      : layeredChannels(settled, prepared, {
          smoother: known,
          split: settled.ownStars && (await smallSplit(lines, recipe, settled, prepared, wish.longest, { signal })),
        });
  const { stars: ownLayer }: LayeredChannels = layers;
  const view = { ...layers, unsmoothed, measured, notes, warnings };
  if (over === undefined) return { ...view, settled, stars: ownLayer };
  checkStars((await lines.full(names.slice(0, 1), zeros, { signal }))[0]!, over, recipe);
  const stars = (wish.box ? over.sources : await over.small(wish.longest, { signal })).map(part);
  return { ...view, settled: { ...settled, stars: await over.settled(recipe.stars, { signal }) }, stars };
};

/** What the pixels of a channel depend on beside the masters. */
const pixelsOf = ({ name, surface, continuum }: Settled['channels'][number]) => [name, surface, continuum];

/** The stars that are taken out before smoothing. */
const starsKey = ({ ownStars }: Settled) => ownStars && [ownStars.hash, ownStars.radius];

/** The layers of a part at full size: only what its pixels depend on is computed. */
const layersOfBox = (
  settled: Settled,
  prepared: readonly Channel[],
  box: Box,
  smoother: Smoother | undefined,
): LayeredChannels => {
  const { around, inside } = boxWithin(prepared[0]!.source, box, reachOfLayers(settled));
  const near = prepared.map(({ name, source }) => ({ name, source: cropped(source, around) }));
  const place = { left: around.x, top: around.y };
  const split = settled.ownStars && splitChannels(settled.ownStars, near, place);
  const { channels, stars } = layeredChannels(settled, near, { by: 1, smoother, split });
  const within = (source: PlaneSource) => cropped(source, inside);
  return {
    channels: channels.map(({ name, source }) => ({ name, source: within(source) })),
    ...(stars && { stars: stars.map(within) }),
  };
};
