import { atom, computed, onMount } from 'nanostores';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { HeldLines } from '../../lib/work/hold.ts';
import { missingLines } from '../model/columns.ts';
import { text } from '../text-hold.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $places, type Place } from './held-places.ts';
import { $lines } from './masters.ts';
import { unsay } from './messages.ts';
import { $picture } from './picture.ts';
import { $probe } from './probe.ts';
import { $recipe, changeRecipe } from './recipe.ts';

interface Solved {
  readonly places: readonly Place[];
  readonly recipe: WrittenRecipe;
  readonly mix: HeldLines;
}

/** The last weights that were worked out, and what for. */
export const $solved = atom<Solved | undefined>(undefined);

/** The weights for the places and the recipe as they are now; undefined until they are known. */
export const $heldMix = computed([$solved, $places, $recipe], (solved, places, recipe) =>
  solved?.places === places && solved.recipe === recipe ? solved.mix : undefined,
);

/** Why no weights could be worked out is told with the other messages: nothing is under way then. */
export const $solving = atom(false);

/** How many places can be held: one for each line of the pixel that is looked at. */
export const $mostPlaces = computed($probe, (answer) => answer?.lines.length ?? 0);

/** Adds the pixel under the probe, with the chroma and hue that it has. */
export const addPlace = (): void => {
  const answer = $probe.get();
  if (answer?.colour === undefined || $places.get().length >= $mostPlaces.get()) return;
  const [, chroma, hue] = answer.colour.oklch;
  const colour = `${Math.min(0.4, chroma).toFixed(3)}@${hue.toFixed(0)}`;
  $places.set([...$places.get(), { x: answer.x, y: answer.y, colour }]);
};

export const setColour = (index: number, colour: string): void =>
  $places.set($places.get().map((place, i) => (i === index ? { ...place, colour } : place)));

export const removePlace = (index: number): void => $places.set($places.get().filter((_, i) => i !== index));

/** Takes the weights over as one step, which can be undone. */
export const applyHeld = (): void => {
  const mix = $heldMix.get();
  if (mix !== undefined) changeRecipe(mix.recipe, text.applied);
};

askOnChange($solved, {
  topic: 'hold',
  restartOn: [$places, $recipe],
  // What was worked out is not of other masters.
  dropOn: [$lines],
  async ask(signal) {
    const [places, lines, recipe] = [$places.get(), $lines.get(), $recipe.get()];
    unsay('hold');
    if (places.length === 0 || missingLines(recipe, Object.keys(lines)).length > 0) return undefined;
    const wishes = places.map(({ x, y, colour }) => ({ at: { x, y }, colour }));
    $solving.set(true);
    try {
      return { places, recipe, mix: await engine().call('hold', { lines, recipe, places: wishes }, { signal }) };
    } finally {
      if (!signal.aborted) $solving.set(false);
    }
  },
});

const keepInside = (): void => {
  const full = $picture.get()?.full;
  if (full === undefined) return;
  const kept = $places.get().filter(({ x, y }) => x < full.width && y < full.height);
  if (kept.length < $places.get().length) $places.set(kept);
};

onMount($solved, () => {
  const stop = $picture.listen(keepInside);
  return () => {
    stop();
    $solving.set(false);
  };
});
