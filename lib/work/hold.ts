import type { parseColour } from '../colour/css.ts';
import type { Space } from '../colour/space.ts';
import { SPACES } from '../colour/spaces.ts';
import type { Box } from '../plane/box.ts';
import { inputError } from '../plane/errors.ts';
import type { Triple } from '../plane/linear.ts';
import { usedChannels } from '../recipe/settle/settle.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { shownLight } from '../recipe/suggest/before-steps.ts';
import { wishedColour } from '../recipe/suggest/colour-wish.ts';
import { heldRecipe } from '../recipe/suggest/held-recipe.ts';
import { type HeldMix, holdColours } from '../recipe/suggest/hold.ts';
import { WEIGHT_RANGE } from '../recipe/written/limits.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { conflictWarnings, largeWeightWarnings, placeWords } from './hold-words.ts';
import { type NoiseOptions, noiseOfMix } from './noise.ts';
import type { OpenLines } from './open-lines.ts';
import { boxAround, strengthNoise, strengthsAt, strengthsIn } from './strengths.ts';

/** A place of the full-size picture and the colour that it is to have. */
export interface PlaceWish {
  /** A pixel counted from 0 at the top left, read with its neighbours; a box where the place has a size. */
  readonly at: { readonly x: number; readonly y: number } | Box;
  /** `CHROMA@HUE`, which keeps the lightness, or a CSS colour: see `wishedColour`. */
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
  /** The space of all colours here. */
  readonly space: Settled['space'];
  /** The pixels that were read, place by place. */
  readonly boxes: readonly Box[];
  readonly warnings: readonly string[];
}

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
  const { parseColour } = await import('../colour/css.ts');
  checkWishes(plain, places, parseColour);
  const { mix, ledger, warnings } = await noiseOfMix(lines, plain, {}, options);
  const { settled, channels } = mix;
  const shown = shownLight(settled);
  const boxes = places.map(({ at }) => ('width' in at ? at : boxAround(at, channels[0]!.source)));
  const held = [];
  for (const [i, { colour }] of places.entries()) {
    const strengths = await strengthsIn(settled, channels, boxes[i]!, placeWords(i), options);
    held.push({ strengths, wanted: wantedLight(colour, i, shown(strengths), settled, parseColour) });
  }
  const { values, lineNoise } = ledger.background;
  const found = holdColours({
    settled,
    places: held,
    sky: strengthsAt(settled, values),
    noise: strengthNoise(settled, values, lineNoise),
    pixels: typicalPixels(boxes),
  });
  checkRange(found);
  return {
    ...found,
    recipe: heldRecipe(recipe, plain, settled, found.weights),
    space: settled.space,
    boxes,
    warnings: [...mix.warnings, ...warnings, ...conflictWarnings(found), ...largeWeightWarnings(found)],
  };
};

/** What can be said of wishes before any master is read. */
const checkWishes = (plain: Recipe, places: readonly PlaceWish[], parse: typeof parseColour): void => {
  const most = usedChannels(plain).length;
  if (places.length === 0) throw inputError('no place given', 'give at least one place and its colour');
  if (places.length > most)
    throw inputError(
      `there are ${places.length} places, but the mix has only ${most} line${most > 1 ? 's' : ''}`,
      'give at most as many places as there are lines',
    );
  if (plain.matrix.every((row) => row.every((w) => w === 0)))
    throw inputError('the recipe has no weights, only a lightness', 'give weights to its lines first');
  for (const [i, { colour }] of places.entries())
    wantedLight(colour, i, [1, 1, 1], { space: plain.space ?? 'srgb', gamut: 'clip' }, parse);
};

const wantedLight = (
  colour: string,
  place: number,
  shown: Triple,
  { space, gamut }: Pick<Settled, 'space' | 'gamut'>,
  parse: (text: string, space: Space) => ReturnType<typeof parseColour>,
): Triple => {
  const wish = wishedColour(colour, shown, { space: SPACES[space], gamut }, parse);
  if (!('fault' in wish)) return wish.rgb;
  throw inputError(
    `${placeWords(place)}: ${wish.fault}`,
    'write CHROMA@HUE such as 0.12@235, which keeps the lightness, or a CSS colour such as #ff8800',
  );
};

/** Places differ in size: the mean variance of their means decides, so that the number is their harmonic mean. */
const typicalPixels = (boxes: readonly Box[]): number =>
  boxes.length / boxes.reduce((sum, { width, height }) => sum + 1 / (width * height), 0);

const checkRange = ({ weights }: HeldMix): void => {
  const [low, high] = WEIGHT_RANGE;
  if (weights.flat().every((w) => w >= low && w <= high)) return;
  throw inputError(
    `these colours need weights outside ${low} to ${high}`,
    'choose brighter places or colours nearer to what they have',
  );
};
