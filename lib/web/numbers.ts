import type { Measured } from '../plane/measured.ts';
import type { ScreenPicture } from './screen.ts';
import type { Preview } from './service.ts';

export const sizeOf = ([first]: readonly Measured[]) => ({ width: first!.width, height: first!.height });

/** Adds to the rendered picture, which stays the same object: its pixels are marked to be handed over. */
export const withNumbers = (numbers: Omit<Preview, keyof ScreenPicture>, picture: ScreenPicture): Preview =>
  Object.assign(picture, numbers);
