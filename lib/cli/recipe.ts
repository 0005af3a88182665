import { recipeCheck } from './recipe-check.ts';
import { recipeCube } from './recipe-cube.ts';
import { recipeHold } from './recipe-hold.ts';
import { recipeNew } from './recipe-new.ts';
import { recipeSettle } from './recipe-settle.ts';
import { recipeShare } from './recipe-share.ts';
import { recipeShow } from './recipe-show.ts';
import type { Verb } from './verb.ts';

/** `linewash recipe …`: works on recipes. */
export const recipe: Verb = (program, context) => {
  const group = program
    .command('recipe')
    .summary('begin, check, show, compare, settle, change and share recipes')
    .description('Works on recipes.');
  recipeNew(group, context);
  recipeCheck(group, context);
  recipeShow(group, context);
  recipeShare(group, context);
  recipeSettle(group, context);
  recipeHold(group, context);
  recipeCube(group, context);
};
