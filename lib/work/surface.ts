import type { Channel } from '../measure/measure.ts';
import type { StripOptions } from '../plane/strips.ts';
import { fitChannelSurface } from '../recipe/settle/find-surfaces.ts';
import type { FoundSurface } from '../recipe/settle/found-surface.ts';
import { surfaceWarning } from '../recipe/settle/surface-warnings.ts';
import type { BackgroundWish } from '../recipe/written/schema.ts';
import type { Picture } from '../render/picture.ts';
import { surfacePicture } from '../render/surface-picture.ts';

/** A background surface to be looked at. */
export interface SurfaceLook {
  readonly found: FoundSurface;
  /** The surface in grey and the blocks that it rests on: 8-bit RGB. */
  readonly picture: Picture;
  readonly warnings: readonly string[];
}

/**
 * Fits the background surface that a recipe asks for to one channel.
 * @throws LinewashError 'input' where too few blocks hold data.
 */
export const lookAtSurface = async (
  channel: Channel,
  wish: BackgroundWish,
  options: StripOptions = {},
): Promise<SurfaceLook> => {
  const found = await fitChannelSurface(channel, wish, options);
  return { found, picture: surfacePicture(found.grid, found.fit), warnings: surfaceWarning(channel, found) };
};
