import { atom, computed } from 'nanostores';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { changesOwnStars } from '../../lib/recipe/written/star-wish.ts';
import type { ListedStars } from '../../lib/web/star-list.ts';
import { missingLines, usedLines } from '../model/columns.ts';
import { withPicturedStars } from '../model/own-stars.ts';
import { starsInView } from '../model/rings.ts';
import { text } from '../text-stars-own.ts';
import { $alone } from './alone.ts';
import { askOnChange } from './ask-on-change.ts';
import { STARS_AS_THEY_ARE, standsAgainst } from './compare.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { $busy, $picture } from './picture.ts';
import { $recipe, changeRecipe } from './recipe.ts';
import { $ringsShown } from './rings.ts';
import { $frame } from './view.ts';

/** What was found of the stars that the mix on screen changes; undefined where it changes none. */
export const $ownStars = computed($picture, (picture) => picture?.settled.ownStars);

/** True while stars are found that the mix on screen does not know yet. */
export const $finding = computed(
  [$recipe, $busy, $picture],
  ({ stars }, busy, picture) => busy && changesOwnStars(stars) && !changesOwnStars(picture?.plain.stars),
);

/** Stops finding them: stars are left as they are. */
export const stopFinding = (): void => changeRecipe(withPicturedStars($recipe.get()), text.steps.asTheyAre);

/** Whether the mix stands against itself with its stars as they are, up to an edge. */
export const $starsBeforeAfter = standsAgainst(STARS_AS_THEY_ARE);

/** The stars of the masters, while somebody wants to see them. */
export const $listed = atom<ListedStars | undefined>(undefined);

/** What decides which stars are found, and whether anybody wants to know: empty where not. */
const $wanted = computed([$lines, $recipe, $ownStars, $ringsShown], (lines, recipe, own, rings) => {
  if (own !== undefined) return JSON.stringify([lines, own.hash]);
  return rings ? JSON.stringify([lines, preparing(recipe)]) : '';
});

const preparing = (recipe: WrittenRecipe) => {
  const { background, continuum, scale, zeros } = recipe;
  return [usedLines(recipe), background, continuum, scale, zeros];
};

askOnChange($listed, {
  topic: 'own-stars',
  on: [$wanted],
  dropOn: [$lines],
  forgets: true,
  async ask(signal) {
    const [lines, recipe] = [$lines.get(), $recipe.get()];
    const unused = usedLines(recipe).length === 0 || missingLines(recipe, Object.keys(lines)).length > 0;
    if ($wanted.get() === '' || unused) return undefined;
    return engine().call('stars', { lines, recipe }, { signal });
  },
});

/** The stars that get rings: the most prominent in view; and how many there are. */
export const $ringed = computed([$listed, $frame, $ringsShown], (listed, frame, shown) =>
  listed && frame && shown ? { listed, ...starsInView(listed, frame) } : undefined,
);

/** Looks at the mask of the stars in the place of the mix, or at the mix again. */
export const toggleMask = (): void => {
  const [first] = $alone.get()?.mask ? [] : Object.entries($lines.get());
  $alone.set(first && { line: first[0], id: first[1], mask: true });
};
