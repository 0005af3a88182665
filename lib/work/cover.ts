import type { Box } from '../plane/box.ts';
import type { StripOptions } from '../plane/strips.ts';
import { findCrop } from '../recipe/settle/find-crop.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { leavingOwnStars } from '../recipe/written/star-wish.ts';
import { mixLines } from './mix.ts';
import type { OpenLines } from './open-lines.ts';

/** What a crop would leave. */
export interface Cover {
  /** The largest rectangle that all lines of the mix cover; absent where nothing is missing at the border. */
  readonly box?: Box | undefined;
  readonly warnings: readonly string[];
}

/**
 * What a mix would be cropped to.
 * @throws LinewashError 'input' where no pixel has data in all lines.
 */
export const coverOf = async (lines: OpenLines, recipe: Recipe, options: StripOptions = {}): Promise<Cover> =>
  (await findCrop((await mixLines(lines, leavingOwnStars(recipe), {}, options)).channels, options)) ?? { warnings: [] };
