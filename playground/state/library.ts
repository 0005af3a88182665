import { atom, computed } from 'nanostores';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { sameMix } from '../model/columns.ts';
import { text } from '../text-keeping.ts';
import { keep, kept } from './kept.ts';
import { say } from './messages.ts';
import { $recipe, changeRecipe } from './recipe.ts';

/** More than anybody names; a bound for what is read from the browser. */
const MOST = 500;

/** The user's own recipes, as they were kept in this browser: each has a name. */
export const $library = atom<readonly WrittenRecipe[]>([]);

/** Where in the library the recipe on screen is, or −1. */
export const $inLibrary = computed([$library, $recipe], (library, recipe) =>
  library.findIndex((own) => own.name === recipe.name && sameMix(own, recipe)),
);

/** Reads the library. What is no recipe is left out; checking is loaded only where something was kept. */
export const openLibrary = async (): Promise<void> => {
  const found = kept('library');
  if (!Array.isArray(found) || found.length === 0) return;
  try {
    const { checkedRecipe } = await import('../../lib/recipe/written/parse.ts');
    const good = found.slice(0, MOST).flatMap((recipe) => {
      try {
        return [checkedRecipe(recipe)];
      } catch {
        return [];
      }
    });
    $library.set([...good, ...$library.get()]);
  } catch {
    // Without the checker there is no library on this visit; nothing kept is lost.
  }
};

/** Keeps the recipe on screen, which gets a name where it has none; one of the same name is replaced. */
export const keepInLibrary = (): void => {
  const name = $recipe.get().name ?? text.unnamed;
  const recipe = { ...$recipe.get(), name };
  const library = [...$library.get().filter((own) => own.name !== name), recipe];
  if (keep('library', library)) {
    if ($recipe.get().name === undefined) changeRecipe(recipe, text.setName);
    $library.set(library);
    say({ topic: 'library', kind: 'note', words: text.kept(name) });
  } else say({ topic: 'library', kind: 'fault', words: text.notKept, advice: text.notKeptAdvice });
};

export const removeFromLibrary = (at: number): void => {
  const gone = $library.get()[at];
  if (gone === undefined) return;
  const library = $library.get().filter((own) => own !== gone);
  $library.set(library);
  keep('library', library);
  say({ topic: 'library', kind: 'note', words: text.removed(gone.name ?? text.unnamed) });
};
