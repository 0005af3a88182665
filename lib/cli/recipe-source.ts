export { recipeFrom } from '../node/masters/recipe-source.ts';

/** What a recipe argument may be, for the help of every verb that takes one. */
export const RECIPE_HELP =
  'a recipe file, a picture that contains a recipe, a share link, a catalogue name, or a recipe as JSON';
