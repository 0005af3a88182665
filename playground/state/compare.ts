import { atom, computed, onMount } from 'nanostores';
import type { NoiseShares } from '../../lib/hours/noise-shares.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { missingLines, sameMix, usedLines } from '../model/columns.ts';
import type { Layer } from '../model/draw-picture.ts';
import { showHours } from '../model/hours-figures.ts';
import { starsAsTheyAre } from '../model/own-stars.ts';
import { unsmoothed } from '../model/smooth-choices.ts';
import { unfinished } from '../model/unfinished.ts';
import { comparedText } from '../text-compared.ts';
import { $candidates, type Candidate } from './candidates.ts';
import { $chosen, MOST_OTHERS } from './chosen.ts';
import { $detail } from './detail.ts';
import { $history } from './history.ts';
import { $later, type Later } from './later.ts';
import { otherLayers } from './layers.ts';
import { $lines } from './masters.ts';
import { $recipe } from './recipe.ts';
import { $stars } from './stars.ts';
import { $tools } from './tools.ts';

/** A mix that can stand against the one on screen. */
export interface Compared extends Candidate {
  /** What it is called where that is not its name. */
  readonly label?: string;
  /** The mix as longer exposures might leave it: what is left of the noise of each line. */
  readonly longer?: NoiseShares;
}

export const labelOf = ({ id, recipe, label }: Compared): string => label ?? recipe.name ?? id;

/** So many earlier steps are offered. */
const MOST_EARLIER = 12;

/** What the mix was before each of its last steps, the latest first, by what the step was. */
export const $earlier = computed($history, ({ past, present }): Compared[] => {
  const steps = [...past, present];
  return past
    .flatMap(({ value: { recipe } }, i): Compared[] => {
      const next = steps[i + 1]!;
      if (sameMix(recipe, next.value.recipe)) return [];
      return [{ id: `step ${i}`, recipe, label: comparedText.before(next.label) }];
    })
    .slice(-MOST_EARLIER)
    .reverse();
});

/** Whether one other mix is shown beside the mix too, and not up to an edge. */
export const $beside = atom(false);

/** The id of the mix before smoothing. */
export const UNSMOOTHED = 'unsmoothed';

/** The id of the mix before its finish. */
export const UNFINISHED = 'unfinished';

/** The id of the mix whose stars are as they are. */
export const STARS_AS_THEY_ARE = 'stars as they are';

const before = (recipe: WrittenRecipe): Compared[] => {
  const [plain, starry, bare] = [unsmoothed(recipe), starsAsTheyAre(recipe), unfinished(recipe)];
  return [
    ...(bare ? [{ id: UNFINISHED, recipe: bare, label: comparedText.unfinished }] : []),
    ...(plain ? [{ id: UNSMOOTHED, recipe: plain, label: comparedText.unsmoothed }] : []),
    ...(starry ? [{ id: STARS_AS_THEY_ARE, recipe: starry, label: comparedText.starsAsTheyAre }] : []),
  ];
};

/** The id of the mix as more hours might leave it. */
export const AFTER_HOURS = 'after more hours';

/** Whether the mix stands against one other of these, up to an edge. */
export const standsAgainst = (id: string) =>
  computed([$tools, $chosen, $beside], (tools, chosen, beside) => {
    const alone = chosen.length === 1 && chosen[0] === id;
    return tools.includes('compare') && alone && !beside;
  });

/** Sets the mix against one other, up to an edge; the tool for it is taken by whoever calls. */
export const setAgainstOne = (id: string): void => {
  $chosen.set([id]);
  $beside.set(false);
};

const after = (recipe: WrittenRecipe, later: Later | undefined): Compared[] =>
  later === undefined || later.hours <= 0
    ? []
    : [{ id: AFTER_HOURS, recipe, longer: later.shares, label: comparedText.afterHours(showHours(later.hours)) }];

/** Candidates that the open masters can be mixed to, after them the mix without a step of its own, and earlier steps. */
export const $comparable = computed(
  [$candidates, $earlier, $lines, $recipe, $later],
  (all, earlier, lines, now, later): Compared[] =>
    [...all, ...before(now), ...after(now, later), ...earlier].filter(
      ({ recipe }) => usedLines(recipe).length > 0 && missingLines(recipe, Object.keys(lines)).length === 0,
    ),
);

/** What stands against the mix: those chosen, or the first that is another mix. */
export const $against = computed([$chosen, $comparable, $recipe], (chosen, comparable, recipe): readonly Compared[] => {
  const found = chosen.flatMap((id) => comparable.find((other) => other.id === id) ?? []);
  if (found.length > 0) return found;
  const first = comparable.find((other) => !sameMix(other.recipe, recipe)) ?? comparable[0];
  return first === undefined ? [] : [first];
});

/** Puts another mix in one of the places beside the one on screen. */
export const setAgainst = (place: number, id: string): void => {
  const ids = $against.get().map((other) => other.id);
  $chosen.set(ids.with(place, id).filter((other, i, all) => all.indexOf(other) === i));
};

/** Sets one more against the mix: the first that is neither there nor the mix itself. */
export const addAgainst = (): void => {
  const ids = $against.get().map(({ id }) => id);
  const free = $comparable.get().filter(({ id }) => !ids.includes(id));
  const next = free.find(({ recipe }) => !sameMix(recipe, $recipe.get())) ?? free[0];
  if (next !== undefined && ids.length < MOST_OTHERS) $chosen.set([...ids, next.id]);
};

export const removeAgainst = (id: string): void =>
  $chosen.set($against.get().flatMap((other) => (other.id === id ? [] : other.id)));

/** Whether mixes stand in cells of their own. */
export const $inCells = computed([$beside, $against], (beside, { length }) => length > 1 || (beside && length === 1));

/** Where the edge between the two is, as a share of the view's width. */
export const $split = atom(0.5);

/** True while the other is shown whole. */
export const $flick = atom(false);

const places = Array.from({ length: MOST_OTHERS }, () => otherLayers('compare'));

/** The other mixes as layers for the same camera, in the order of `$against`; nothing of one until it is mixed. */
export const $others = computed(
  places.map(({ $layers }) => $layers),
  (...all): readonly (readonly Layer[])[] => all,
);

/** What each place shows; whoever stays where he is is not mixed anew. */
let shown: string[] = [];

const mix = (anew = false): void => {
  const lines = $lines.get();
  const against = $against.get();
  for (const [i, place] of places.entries()) {
    const other = against[i];
    const key = JSON.stringify([other?.recipe, other?.longer, lines]);
    if (!anew && shown[i] === key) continue;
    shown[i] = key;
    void place.show(other && { lines, recipe: other.recipe, longer: other.longer });
  }
};

onMount($others, () => {
  const stops = [
    $against.listen(() => mix()),
    $lines.listen(() => mix()),
    $stars.listen(() => mix(true)),
    $detail.listen(() => {
      for (const place of places) void place.sharpen();
    }),
  ];
  mix(true);
  return () => {
    for (const stop of stops) stop();
    for (const place of places) place.stop();
    shown = [];
    $flick.set(false);
  };
});
