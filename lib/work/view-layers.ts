import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { cropped } from '../plane/cropped.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { type LayeredChannels, layeredChannels, splitChannels } from '../recipe/settle/layered.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import type { Smoother } from '../smooth/remembered.ts';
import type { OpenLines } from './open-lines.ts';
import type { Part } from './part.ts';
import { boxWithin, reachOfLayers, smallSplit } from './star-view.ts';

/** Channels to be layered. */
interface Layering {
  readonly settled: Settled;
  /** Those of `unsmoothedChannels`: of the full size where a box is looked at, else in small. */
  readonly prepared: readonly Channel[];
  readonly smoother?: Smoother | undefined;
}

/** The channels of a part of a picture, smoothed and with their stars as settled numbers say. */
export const layersOfView = async (
  lines: OpenLines,
  recipe: Recipe,
  { settled, prepared, smoother }: Layering,
  wish: Part,
  options: StripOptions,
): Promise<LayeredChannels> =>
  wish.box
    ? layersOfBox(settled, prepared, wish.box, smoother)
    : layeredChannels(settled, prepared, {
        smoother,
        split: settled.ownStars && (await smallSplit(lines, recipe, settled, prepared, wish.longest, options)),
      });

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
