import { atom } from 'nanostores';
import type { Viewer } from '../../lib/colour/statistics.ts';
import type { ScreenPicture } from '../../lib/web/screen.ts';

/** Eyes that the pictures can be seen through: with all cones, or without one of the three kinds. */
export const EYES = ['all', 'protan', 'deutan', 'tritan'] as const satisfies readonly Viewer[];

export const $eyes = atom<Viewer>('all');

const asItIs = (picture: ScreenPicture): ScreenPicture => picture;

/** What the chosen eyes make of a picture; the same picture gives the same result. */
export const $seen = atom<(picture: ScreenPicture) => ScreenPicture>(asItIs);

/** Shows all pictures through these eyes; what computes that is loaded when first needed. */
export const chooseEyes = async (eyes: Viewer): Promise<void> => {
  $eyes.set(eyes);
  if (eyes === 'all') return $seen.set(asItIs);
  const { seenBy } = await import('../model/seen-by.ts');
  if ($eyes.get() === eyes) $seen.set(seenBy(eyes));
};
