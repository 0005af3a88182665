import { sameMix } from '../model/columns.ts';
import { commandLine } from '../model/command-line.ts';
import { text } from '../text.ts';
import { $crop } from './crop.ts';
import { $masters } from './masters.ts';
import { report, say, unsay } from './messages.ts';
import { $entry, $recipe, changeRecipe } from './recipe.ts';
import { $legend } from './saving.ts';
import { $stars, isLaidOver } from './stars.ts';

/** What makes and reads links is loaded when the first one is met. */
const links = () => import('../../lib/recipe/share/link.ts');

/** Opens the recipe that the page's address carries, as a step: what was on screen is one step back. */
export const openLinked = async (): Promise<void> => {
  const { hash } = location;
  if (!hash.includes('recipe=')) return;
  unsay('link');
  try {
    const recipe = await (await links()).recipeFromLink(hash);
    const name = recipe.name ?? text.recipe.unnamed;
    if (!sameMix(recipe, $recipe.get())) changeRecipe(recipe, text.recipe.chose(name));
    say({ topic: 'link', kind: 'note', words: text.link.opened(name) });
  } catch (error) {
    report('link', error);
  }
  // The address is that of the page again, so that a reload goes on with what is on screen.
  history.replaceState(null, '', location.pathname + location.search);
};

const copy = async (words: () => Promise<string>, done: string): Promise<void> => {
  try {
    await navigator.clipboard.writeText(await words());
    say({ topic: 'copy', kind: 'note', words: done });
  } catch (error) {
    report('copy', error);
  }
};

export const copyLink = (): Promise<void> =>
  copy(async () => (await links()).recipeLink($recipe.get(), location.href), text.link.copied);

/** The command that makes the same picture: by the catalogue's name where it has one, else with the recipe as a link. */
export const copyCommand = (): Promise<void> =>
  copy(async () => {
    const recipe = $entry.get()?.id ?? (await (await links()).recipeLink($recipe.get()));
    const files = $masters.get().map(({ line, file }) => ({ line, file }));
    const stars = isLaidOver($recipe.get()) ? $stars.get()!.files.map(({ name }) => name) : [];
    return commandLine(recipe, files, $recipe.get().name ?? text.save.unnamed, {
      crop: $crop.get(),
      legend: $legend.get(),
      stars,
    });
  }, text.link.commandCopied);
