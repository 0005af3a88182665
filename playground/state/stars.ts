import { atom } from 'nanostores';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { changesOwnStars } from '../../lib/recipe/written/star-wish.ts';
import { withPicturedStars } from '../model/own-stars.ts';
import { text } from '../text.ts';
import { $engineRun, engine } from './engine.ts';
import { $lines } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { whenFilled } from './open-set.ts';
import { $recipe, changeRecipe } from './recipe.ts';

/** An open picture of the stars: one colour picture, or three masters for red, green and blue. */
export interface OpenStars {
  readonly files: readonly File[];
  readonly width: number;
  readonly height: number;
  /** What was odd about reading them. */
  readonly warnings: readonly string[];
}

/** The picture of the stars that is laid over the mix. */
export const $stars = atom<OpenStars | undefined>(undefined);

/**
 * Whether the open picture of the stars is laid over a mix. It waits while a recipe changes the stars of the masters: a star
 * must not be there twice.
 */
export const isLaidOver = (recipe: WrittenRecipe): boolean =>
  $stars.get() !== undefined && !changesOwnStars(recipe.stars);

/** Whether the picture on screen has the stars; whatever is saved has them. */
export const $starsShown = atom(true);

const handed = (files: readonly File[]) => files.map((file) => ({ name: file.name, blob: file }));

/** Lays the open picture over a mix that changes the stars of the masters: it does so no longer. */
export const layWaiting = (): void => {
  const recipe = $recipe.get();
  if (changesOwnStars(recipe.stars)) changeRecipe(withPicturedStars(recipe), text.stars.step);
};

/** Lays a picture of the stars over the mix, in the place of the one before. */
export const layStars = async (files: readonly File[]): Promise<void> => {
  unsay('stars');
  try {
    await whenFilled();
    const opened = await engine().call('openStars', { files: handed(files), lines: $lines.get() });
    $stars.set({ files, ...opened });
    layWaiting();
    const words = text.stars.laid(files.map(({ name }) => name));
    say({ topic: 'stars', kind: 'note', words, action: { words: text.stars.remove, act: removeStars } });
  } catch (error) {
    report('stars', error);
  }
};

export const removeStars = (): void => {
  unsay('stars');
  $stars.set(undefined);
};

/** Whether a file is a colour picture, which can only be stars. */
export const isColour = (file: File): Promise<boolean> =>
  engine()
    .call('isColour', { name: file.name, blob: file })
    // Whatever is wrong with it is said when it is opened as a master.
    .catch(() => false);

// A worker that broke down takes the stars with it.
$engineRun.listen(() => {
  const stars = $stars.get();
  if (stars !== undefined)
    void engine()
      .call('openStars', { files: handed(stars.files) })
      .catch(removeStars);
});
