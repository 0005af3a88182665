/** `linewash` where there are no files: what `surface.ts` shows, its functions with a look at their arguments. */

export { catalogueRecipe, mixArrays, openRecipe, renderPicture, settleChannels } from './checked.ts';
export * from './surface.ts';
