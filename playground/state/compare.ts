import { atom, computed, onMount } from 'nanostores';
import { missingLines, sameMix } from '../model/columns.ts';
import { toolsText } from '../text-tools.ts';
import { $candidates, type Candidate } from './candidates.ts';
import { $detail } from './detail.ts';
import { $history } from './history.ts';
import { otherLayers } from './layers.ts';
import { $lines } from './masters.ts';
import { $recipe } from './recipe.ts';
import { $stars } from './stars.ts';

/** The candidate that was chosen to stand against the mix on screen. */
export const $chosen = atom<string | undefined>(undefined);

/** A mix that can stand against the one on screen. */
export interface Compared extends Candidate {
  /** What it is called where that is not its name. */
  readonly label?: string;
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
      return [{ id: `step ${i}`, recipe, label: toolsText.compare.before(next.label) }];
    })
    .slice(-MOST_EARLIER)
    .reverse();
});

/** Candidates that the open masters can be mixed to, and after them earlier steps. */
export const $comparable = computed([$candidates, $earlier, $lines], (candidates, earlier, lines): Compared[] =>
  [...candidates, ...earlier].filter(({ recipe }) => missingLines(recipe, Object.keys(lines)).length === 0),
);

/** What stands against the mix: the chosen candidate, or the first that is another mix. */
export const $against = computed(
  [$chosen, $comparable, $recipe],
  (chosen, comparable, recipe): Compared | undefined => {
    const found = comparable.find(({ id }) => id === chosen);
    return found ?? comparable.find((candidate) => !sameMix(candidate.recipe, recipe)) ?? comparable[0];
  },
);

/** Where the edge between the two is, as a share of the view's width. */
export const $split = atom(0.5);

/** True while the other is shown whole. */
export const $flick = atom(false);

const layers = otherLayers('compare');

/** The other mix as layers for the same camera; nothing until it is mixed. */
export const $other = layers.$layers;

const mix = (): void => {
  const other = $against.get();
  void layers.show(other && { lines: $lines.get(), recipe: other.recipe });
};

onMount($other, () => {
  const key = () => JSON.stringify([$against.get()?.recipe, $lines.get()]);
  let last = key();
  const mixAnew = () => {
    if (key() === last) return;
    last = key();
    mix();
  };
  const stops = [
    $against.listen(mixAnew),
    $lines.listen(mixAnew),
    $stars.listen(mix),
    $detail.listen(() => void layers.sharpen()),
  ];
  mix();
  return () => {
    for (const stop of stops) stop();
    layers.stop();
    $flick.set(false);
  };
});
