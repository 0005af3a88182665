import type { PictureFacts } from '../plane/picture-facts.ts';
import { VERSION } from '../plane/version.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { withoutStarList } from '../recipe/settle/without-list.ts';
import { type NoteInput, noteFacts, notePicture, noteText } from '../recipe/share/note.ts';
import { inOrder } from '../recipe/written/in-order.ts';
import { RECIPE_VERSION, type WrittenRecipe } from '../recipe/written/schema.ts';
import { changesOwnStars } from '../recipe/written/star-wish.ts';

/** What a picture says of itself: the recipe as written, the numbers it was made with, its masters, what these say, and its form. */
export const pictureNote = (
  recipe: WrittenRecipe,
  settled: Settled,
  inputs: readonly NoteInput[],
  form: Parameters<typeof notePicture>[0],
  facts?: PictureFacts,
): string => {
  const members = {
    recipe: inOrder(withoutIdle(recipe)),
    settled: withoutStarList(settled),
    inputs,
    ...notePicture(form),
    ...(facts && noteFacts(facts)),
  };
  return noteText({ linewash: RECIPE_VERSION, ...members, writer: VERSION });
};

/** Smoothing of no strength, and stars that stay as they are, are no part of a picture: it has the bytes of one whose recipe never spoke of it. */
const withoutIdle = ({ smooth, stars, finish, ...recipe }: WrittenRecipe): WrittenRecipe => ({
  ...recipe,
  ...(finish && Object.keys(finish).length > 0 && { finish }),
  ...(smooth?.strength && { smooth }),
  ...(stars && (stars.from !== 'masters' || changesOwnStars(stars)) && { stars }),
});
