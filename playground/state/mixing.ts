import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Box } from '../../lib/web/crop.ts';
import type { Preview } from '../../lib/web/service.ts';
import type { CallOptions } from '../../lib/web/wire/rpc.ts';
import { engine } from './engine.ts';
import { $stars } from './stars.ts';

/** A mix to be shown. */
export interface MixWish {
  readonly lines: Readonly<Record<string, string>>;
  readonly recipe: WrittenRecipe;
  /** Longest side of the whole picture. */
  readonly longest: number;
}

/** The whole picture, with the stars over it where some are open. */
export const mixWhole = (wish: MixWish, options?: CallOptions): Promise<Preview> =>
  $stars.get() ? engine().call('starry', wish, options) : engine().call('preview', wish, options);

/** A part of the full-size picture, with the stars over it where some are open. */
export const mixPart = (wish: MixWish & { readonly box: Box }, options?: CallOptions): Promise<Preview> =>
  $stars.get() ? engine().call('starry', wish, options) : engine().call('detail', wish, options);
