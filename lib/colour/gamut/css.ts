import { labDistance, oklabToRgb, rgbToOklab } from '../oklab.ts';
import type { Space } from '../space.ts';
import { clip } from './clip.ts';
import { type GamutMethod, inGamut, setGrey } from './method.ts';

/** Two colours nearer than this in OKLab are taken as the same. */
const JUST_NOTICEABLE = 0.02;
/** The search for chroma ends when its bracket is this narrow. */
const EPSILON = 0.0001;

const origin = new Float64Array(3);
const currentLab = new Float64Array(3);
const current = new Float64Array(3);
const clipped = new Float64Array(3);
const clippedLab = new Float64Array(3);

/**
 * CSS Color Module Level 4, "CSS gamut mapping to an RGB destination": binary search for the chroma in OKLCH at which
 * plain clipping is just not noticeable (local MINDE). Channels that are not finite give black.
 */
export const css: GamutMethod = {
  name: 'css',
  about: 'The method of CSS Color 4: reduces chroma until clipping what is left cannot be noticed.',
  map(rgb, at, space) {
    if (inGamut(rgb, at)) return;
    rgbToOklab(rgb, at, space, origin, 0);
    const light = origin[0]!;
    if (!(light > 0) || light >= 1) {
      setGrey(rgb, at, light >= 1 ? 1 : 0);
      return;
    }
    search(space);
    rgb.set(clipped, at);
  },
};

/** From the OKLab colour in `origin` to the mapped colour in `clipped`. */
const search = (space: Space): void => {
  const chroma = Math.sqrt(origin[1]! * origin[1]! + origin[2]! * origin[2]!);
  setChroma(1, space);
  if (clippingError(space) < JUST_NOTICEABLE) return;
  let min = 0;
  let max = chroma;
  let minInGamut = true;
  while (max - min > EPSILON) {
    const middle = (min + max) / 2;
    setChroma(middle / chroma, space);
    if (minInGamut && inGamut(current, 0)) {
      min = middle;
      continue;
    }
    const error = clippingError(space);
    if (error >= JUST_NOTICEABLE) {
      max = middle;
    } else {
      if (JUST_NOTICEABLE - error < EPSILON) return;
      minInGamut = false;
      min = middle;
    }
  }
};

/** `current`: the linear RGB of `origin` with its chroma scaled; its OKLab stays in `currentLab`. */
const setChroma = (scale: number, space: Space): void => {
  currentLab[0] = origin[0]!;
  currentLab[1] = origin[1]! * scale;
  currentLab[2] = origin[2]! * scale;
  oklabToRgb(currentLab, 0, space, current, 0);
};

/** Clips `current` into `clipped` and gives the distance between the two in OKLab. */
const clippingError = (space: Space): number => {
  clipped.set(current);
  clip.map(clipped, 0, space);
  rgbToOklab(clipped, 0, space, clippedLab, 0);
  return labDistance(clippedLab, 0, currentLab, 0);
};
