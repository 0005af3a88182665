import type { Box } from '../plane/box.ts';
import { cropped } from '../plane/cropped.ts';
import type { Measured } from '../plane/measured.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import type { Composition } from './compose.ts';
import { type OpenLines, zerosOf } from './open-lines.ts';
import { checkStars, type OpenStars } from './open-stars.ts';

/** What is looked at: all of the picture, its longest side so many pixels, or a box of it pixel for pixel. */
export type Part =
  | { readonly longest: number; readonly box?: undefined }
  | { readonly box: Box; readonly longest?: number | undefined };

/** A mix to be looked at. */
export interface View extends Composition {
  /** The numbers of its lines at full size, which it was settled on. */
  readonly measured: readonly Measured[];
  /** What concerns the masters whatever the recipe. */
  readonly notes: readonly string[];
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
  options: StripOptions = {},
): Promise<View> => {
  const { signal } = options;
  const { settled, measured, notes, warnings } = await lines.settle(recipe, options);
  const [names, zeros] = [neededChannels(recipe), zerosOf(recipe)];
  const part = (source: PlaneSource) => (wish.box ? cropped(source, wish.box) : source);
  const from = wish.box
    ? await lines.full(names, zeros, { signal })
    : await lines.small(names, zeros, wish.longest, { signal });
  const channels = preparedChannels(settled, from).map(({ name, source }) => ({ name, source: part(source) }));
  const view = { channels, measured, notes, warnings };
  if (over === undefined) return { ...view, settled, stars: undefined };
  checkStars((await lines.full(names.slice(0, 1), zeros, { signal }))[0]!, over);
  const stars = (wish.box ? over.sources : await over.small(wish.longest, { signal })).map(part);
  return { ...view, settled: { ...settled, stars: await over.settled(recipe.stars, { signal }) }, stars };
};
