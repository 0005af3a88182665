import type { Suggestion, Suggestions } from '../../lib/recipe/suggest/suggest.ts';
import { checkedRecipe } from '../../lib/recipe/written/parse.ts';
import { $hung, $pinned, type Candidate } from './candidates.ts';
import { $computedFrom, $suggestions, wallId } from './suggestions.ts';

/** More than anybody hangs up; a bound for what is read from the browser. */
const MOST = 100;

/** What hangs on the wall beside the catalogue, as it is kept. */
export interface KeptWall {
  readonly hung: readonly Candidate[];
  readonly pinned: readonly string[];
  readonly suggestions: readonly Pick<Suggestion, 'id' | 'why' | 'gain' | 'screenNoise'>[];
  readonly computedFrom: string | undefined;
}

const listIn = (kept: unknown): unknown[] => (Array.isArray(kept) ? kept.slice(0, MOST) : []);

const candidatesIn = (kept: unknown): Candidate[] =>
  listIn(kept).flatMap((one) => {
    try {
      const { id, recipe } = one as Candidate;
      return typeof id === 'string' ? [{ id, recipe: checkedRecipe(recipe) }] : [];
    } catch {
      return [];
    }
  });

/** What is told of a suggestion: its reason and its price. */
const toldOf = (kept: unknown, recipe: Suggestion['recipe']): Suggestion | undefined => {
  const { id, why, gain, screenNoise } = kept as Suggestion;
  const good = typeof why === 'string' && [gain, screenNoise].every(Number.isFinite);
  return good ? ({ id, recipe, why: why.slice(0, 1000), gain, screenNoise } as Suggestion) : undefined;
};

/** Hangs up again what hung on the wall; whatever is no good is left out. */
export const hangAgain = (kept: unknown): void => {
  if (typeof kept !== 'object' || kept === null || $hung.get().length > 0) return;
  const wall = kept as Partial<KeptWall>;
  const hung = candidatesIn(wall.hung);
  const ids = listIn(wall.pinned).filter((id) => typeof id === 'string');
  const suggestions = listIn(wall.suggestions).flatMap((one) => {
    if (typeof one !== 'object' || one === null) return [];
    const own = hung.find(({ id }) => id === wallId(String((one as Suggestion).id)));
    return (own && toldOf(one, own.recipe)) ?? [];
  });
  if (typeof wall.computedFrom === 'string') $computedFrom.set(wall.computedFrom);
  $hung.set(hung);
  $pinned.set(ids);
  if (suggestions.length > 0) $suggestions.set({ suggestions } as unknown as Suggestions);
};
