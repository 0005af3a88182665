import { type GreyOptions, type GreyPicture, greyPicture } from './grey-picture.ts';
import type { View } from './view.ts';

/**
 * How much of each pixel of a view belongs to stars: black where nothing, white where all of it. Undefined where the view
 * has no stars whose colour is changed.
 */
export const maskPicture = async (
  { settled, stars }: Pick<View, 'settled' | 'stars'>,
  options: GreyOptions = {},
): Promise<GreyPicture | undefined> => {
  const mask = settled.ownStars && stars?.at(-1);
  return mask && greyPicture([mask], ([share], i) => 255 * share![i]!, options);
};
