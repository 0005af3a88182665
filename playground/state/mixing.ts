import type { NoiseShares } from '../../lib/hours/noise-shares.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Preview } from '../../lib/web/preview.ts';
import type { CallOptions } from '../../lib/web/wire/rpc.ts';
import type { Part } from '../../lib/work/view.ts';
import { engine } from './engine.ts';
import { $starsShown, isLaidOver } from './stars.ts';

/** A mix to be shown. */
export type MixWish = Part & {
  readonly lines: Readonly<Record<string, string>>;
  readonly recipe: WrittenRecipe;
  /** A line: what smoothing takes from it is shown, and not the mix. */
  readonly removed?: string | undefined;
  /** Whether the mask of the stars in the masters is shown, and not the mix. */
  readonly mask?: boolean | undefined;
  /** What longer exposures leave of the noise of each line: an estimate is shown. */
  readonly longer?: NoiseShares | undefined;
};

/** The whole picture, or a part of the full-size one, with the stars over it where some are open. */
export const mixPart = (wish: MixWish, options?: CallOptions): Promise<Preview> =>
  engine().call('preview', { ...wish, stars: isLaidOver(wish.recipe) && $starsShown.get() }, options);
