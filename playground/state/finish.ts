import { computed } from 'nanostores';
import type { Bend } from '../../lib/finish/finish.ts';
import { bendsOf, finishSlots } from '../../lib/recipe/written/finish-wish.ts';
import type { FinishWish } from '../../lib/recipe/written/schema.ts';
import { cloudOf } from '../model/colour-cloud.ts';
import type { TonePoint } from '../model/finish-choices.ts';
import { standsAgainst, UNFINISHED } from './compare.ts';
import { $picture } from './picture.ts';
import { $recipe } from './recipe.ts';

/** The finish of the mix on screen in numbers; undefined where it has none. */
export const $finished = computed($picture, (picture) => picture?.settled.finish);

/** Colours of the mix on screen. */
export const $cloud = computed($picture, (picture) => picture && cloudOf(picture));

/** The finish of the recipe in the hand: as written where that is numbers, else as the mix on screen has it. */
const $inHand = computed([$recipe, $picture], ({ finish }, picture): FinishWish => {
  if (finish === undefined) return {};
  const numbers = finishSlots(finish).every(({ value }) => typeof value === 'number');
  return numbers ? (finish as FinishWish) : (picture?.plain.finish ?? {});
});

/** The points of the tone curve. */
export const $tonePoints = computed($inHand, ({ tone = [] }): readonly TonePoint[] => tone);

/** The hues that move. */
export const $bends = computed($inHand, (finish): readonly Bend[] => bendsOf(finish));

/** Whether the mix stands against itself before its finish, up to an edge. */
export const $finishBeforeAfter = standsAgainst(UNFINISHED);
