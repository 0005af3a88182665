import { SPACES } from '../colour/spaces.ts';
import type { Box } from '../plane/box.ts';
import { inputError } from '../plane/errors.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { shownLight } from '../recipe/suggest/before-steps.ts';
import { wishedColour } from '../recipe/suggest/colour-wish.ts';
import { heldRecipe } from '../recipe/suggest/held-recipe.ts';
import { type HeldMix, holdColours } from '../recipe/suggest/hold.ts';
import { WEIGHT_RANGE } from '../recipe/written/limits.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { conflictWarnings } from './hold-words.ts';
import { type NoiseOptions, noiseOfMix } from './noise.ts';
import type { OpenLines } from './open-lines.ts';
import { strengthNoise, strengthsAt, strengthsIn } from './strengths.ts';

/** A place of the full-size picture and the colour that it is to have: see `wishedColour`. */
export interface PlaceWish {
  readonly box: Box;
  readonly colour: string;
}

export interface HoldWish {
  readonly recipe: WrittenRecipe;
  /** The same recipe with every weight a number. */
  readonly plain: Recipe;
  /** One to as many as the mix has lines. */
  readonly places: readonly PlaceWish[];
}

/** A mix whose places have their colours, as nearly as can be. */
export interface HeldLines extends HeldMix {
  readonly recipe: WrittenRecipe;
  readonly space: Settled['space'];
  readonly warnings: readonly string[];
}

const COLOUR_ADVICE = 'write a CSS colour such as #ff8800, or CHROMA@HUE such as 0.12@235, which keeps the lightness';
/** Side in pixels of the box that stands for a point: one pixel alone is mostly noise. */
const POINT = 3;

/** The box around a pixel of a picture that is read for it: 3 × 3 pixels, fewer at the border. */
export const boxAround = (x: number, y: number, { width, height }: { width: number; height: number }): Box => {
  const [left, top] = [Math.max(0, x - (POINT >> 1)), Math.max(0, y - (POINT >> 1))];
  const [right, bottom] = [Math.min(width, x + (POINT >> 1) + 1), Math.min(height, y + (POINT >> 1) + 1)];
  return { x: left, y: top, width: right - left, height: bottom - top };
};

/**
 * Settles a recipe on open lines, reads the places at full size, and gives the recipe whose weights change least and
 * bring each place to its colour, the background held grey. Stars that are laid over the mix are not counted.
 * @throws LinewashError 'input' for no places or more than the mix has lines, a box outside the picture or without data,
 * a text that is no colour, and a mix without weights; and as settling and measuring noise do
 */
export const holdPlaces = async (
  lines: OpenLines,
  { recipe, plain, places }: HoldWish,
  options: NoiseOptions = {},
): Promise<HeldLines> => {
  const { mix, ledger, warnings } = await noiseOfMix(lines, plain, {}, options);
  const { settled, channels } = mix;
  checkWishes(settled, places);
  const space = SPACES[settled.space];
  const shown = shownLight(settled);
  const { parseColour } = await import('../colour/css.ts');
  const held = [];
  for (const [i, { box, colour }] of places.entries()) {
    const strengths = await strengthsIn(settled, channels, box, `place ${i + 1}`, options);
    const wish = wishedColour(colour, shown(strengths), { space, gamut: settled.gamut }, parseColour);
    if ('fault' in wish) throw inputError(`place ${i + 1}: ${wish.fault}`, COLOUR_ADVICE);
    held.push({ strengths, wanted: wish.rgb });
  }
  const { values, lineNoise } = ledger.background;
  const found = holdColours({
    settled,
    places: held,
    sky: strengthsAt(settled, values),
    noise: strengthNoise(settled, values, lineNoise),
    pixels: typicalPixels(places),
  });
  checkRange(found);
  return {
    ...found,
    recipe: heldRecipe(recipe, plain, settled, found.weights),
    space: settled.space,
    warnings: [...mix.warnings, ...warnings, ...conflictWarnings(found)],
  };
};

const checkWishes = ({ channels, matrix }: Settled, places: readonly PlaceWish[]): void => {
  const most = channels.length;
  if (places.length === 0) throw inputError('no place is given', 'give at least one place and its colour');
  if (places.length > most)
    throw inputError(
      `${places.length} places are given, and the mix has ${most} line${most > 1 ? 's' : ''}`,
      'give at most as many places as there are lines',
    );
  if (matrix.every((row) => row.every((w) => w === 0)))
    throw inputError('the recipe has no weights, only a lightness', 'give weights to its lines first');
};

/** Places differ in size: the mean noise of their means decides, so that the number is their harmonic mean. */
const typicalPixels = (places: readonly PlaceWish[]): number =>
  places.length / places.reduce((sum, { box }) => sum + 1 / (box.width * box.height), 0);

const checkRange = ({ weights }: HeldMix): void => {
  const [low, high] = WEIGHT_RANGE;
  if (weights.flat().every((w) => w >= low && w <= high)) return;
  throw inputError('these colours would take weights beyond all measure', 'choose brighter places or paler colours');
};
