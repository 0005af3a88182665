import { GAMUT_NAMES } from '../../../lib/colour/gamut.ts';
import { BALANCE_NAMES } from '../../../lib/mix/balance.ts';
import type { OutputSample } from '../../../lib/plane/picture.ts';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';
import { CURVE_NAMES } from '../../../lib/stretch/curves.ts';
import { diceFor } from './dice.ts';
import { drawMaster } from './draw-masters.ts';
import { drawRecipe } from './draw-recipe.ts';
import { drawSpots } from './draw-spots.ts';
import { type MasterForm, physicalOf } from './master-files.ts';

/** One whole case: what is mixed, from which files, and how the picture is written. */
export interface Draw {
  readonly seed: number;
  readonly masters: Readonly<Record<string, MasterForm>>;
  readonly recipe: WrittenRecipe;
  readonly ending: 'tif' | 'png' | 'fits';
  readonly sample: OutputSample;
  readonly alpha: boolean;
}

const WORDS = { curves: CURVE_NAMES, balances: BALANCE_NAMES, gamuts: GAMUT_NAMES };

const OUTPUTS = [
  ['tif', 'u8'],
  ['tif', 'u16'],
  ['tif', 'u16'],
  ['tif', 'f32'],
  ['png', 'u8'],
  ['png', 'u16'],
  ['fits', 'f32'],
] as const;

/** Every draw is known by its seed alone. */
export const drawCase = (seed: number): Draw => {
  const dice = diceFor(seed);
  // Odd widths, single rows and columns, and now and then more than the kernel works on at a time.
  const long = dice.chance(0.03);
  const width = dice.pick([1, 2, 3, dice.whole(4, 40), dice.whole(4, 40), long ? dice.whole(1023, 2100) : 17]);
  const height = width > 1000 ? 2 : dice.whole(1, 24);
  const count = dice.pick([1, 2, 3, 3, 3, 4, dice.whole(5, 8)]);
  const names = ['S', 'H', 'O', 'N', 'He', 'Ar', 'Ne', 'C'].slice(0, count);
  const masters = Object.fromEntries(names.map((name) => [name, drawMaster(dice, width, height)]));
  const channels = names.map((name) => ({
    name,
    sorted: physicalOf(masters[name]!)
      .filter((v) => !Number.isNaN(v))
      .sort(),
  }));
  const recipe = drawRecipe(dice, channels, WORDS);
  const [ending, sample] = dice.pick(OUTPUTS);
  const alpha = dice.chance(0.3);
  const spots = dice.chance(0.25) ? drawSpots(dice, names, width, height) : {};
  return { seed, masters, recipe: { ...recipe, ...spots }, ending, sample, alpha };
};
