import { cropped } from '../plane/cropped.ts';
import { hidePixels } from '../plane/memory-plane.ts';
import type { FilePicture, Origin } from '../plane/origin.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type Surface, withoutSurface } from './background/surface.ts';
import { combined } from './combine.ts';
import { lessContinuum } from './continuum.ts';
import { SMOOTHING_REACH, smoothed } from './smoothed.ts';

/** Opens a picture of a file. */
export type OpenPicture = (picture: FilePicture) => Promise<PlaneSource>;

/** The source that an origin describes: the same values as the source it was taken from. */
export const openOrigin = async (origin: Origin, open: OpenPicture): Promise<PlaneSource> => {
  switch (origin.step) {
    case 'file':
      return open(origin.picture);
    case 'hide':
      return hidePixels(await openOrigin(origin.of, open), origin.mask);
    case 'crop':
      return cropped(await openOrigin(origin.of, open), origin.box);
    case 'surface':
      return withoutSurface(await openOrigin(origin.of, open), origin.surface as Surface);
    case 'continuum': {
      const [line, broad] = [await openOrigin(origin.of, open), await openOrigin(origin.broad, open)];
      return lessContinuum(line, broad, origin.k, origin.level);
    }
    case 'combine': {
      const parts = [];
      for (const { of, outliers, ...numbers } of origin.parts)
        parts.push({ ...numbers, source: await openOrigin(of, open), outliers: outliers && { mask: outliers } });
      return combined(parts);
    }
    case 'smooth':
      return smoothed(await openOrigin(origin.of, open));
  }
};

/** Rows above and below that a row of this origin depends on. */
export const reachOf = (origin: Origin | undefined): number => {
  if (origin === undefined || origin.step === 'file') return 0;
  if (origin.step === 'combine') return Math.max(...origin.parts.map(({ of }) => reachOf(of)));
  if (origin.step === 'continuum') return Math.max(reachOf(origin.of), reachOf(origin.broad));
  return reachOf(origin.of) + (origin.step === 'smooth' ? SMOOTHING_REACH : 0);
};
