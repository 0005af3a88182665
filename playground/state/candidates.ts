import { atom, computed } from 'nanostores';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';

/** A mix that hangs on the wall. */
export interface Candidate {
  readonly id: string;
  readonly recipe: WrittenRecipe;
}

/** Mixes that were hung up beside those of the catalogue: the user's own, suggestions. */
export const $hung = atom<readonly Candidate[]>([]);

/** Candidates that stay at the top, in the order in which they were pinned. */
export const $pinned = atom<readonly string[]>([]);

/** All that hangs on the wall. */
export const $candidates = computed($hung, (hung): readonly Candidate[] => [...hung, ...CATALOGUE]);

let next = 1;

/** Hangs a mix up under a name of its own and pins it; the number makes both differ from all others. */
export const hangUp = (recipe: WrittenRecipe, nameOf: (number: number) => string): void => {
  while ($hung.get().some(({ id }) => id === `own-${next}`)) next++;
  const id = `own-${next}`;
  $hung.set([...$hung.get(), { id, recipe: { ...recipe, name: nameOf(next) } }]);
  pin(id, true);
};

/** Pins a candidate or lets it go; a mix that was hung up and is let go leaves the wall. */
export const pin = (id: string, pinned: boolean): void => {
  const others = $pinned.get().filter((other) => other !== id);
  $pinned.set(pinned ? [...others, id] : others);
  if (!pinned) $hung.set($hung.get().filter((candidate) => candidate.id !== id));
};
