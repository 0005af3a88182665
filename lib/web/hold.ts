import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { type HeldLines, holdPlaces, type PlaceWish } from '../work/hold.ts';
import type { NoiseOptions } from '../work/noise.ts';
import type { OpenLines } from '../work/open-lines.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';

/** Places of the masters that are to have colours. */
export interface HoldQuestion {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  readonly places: readonly PlaceWish[];
}

/** The recipe whose weights change least and give the places their colours. */
export const holdOf = async (
  lines: OpenLines,
  { recipe, places }: Omit<HoldQuestion, 'lines'>,
  options: NoiseOptions,
): Promise<HeldLines> => holdPlaces(lines, { recipe, plain: await plainOf(recipe), places }, options);
