import type { Triple } from '../plane/linear.ts';

/**
 * HSV hue in degrees [0, 360) of display RGB; undefined for greys. Any finite values with red 0, green 120, blue 240.
 * A. R. Smith, Color gamut transform pairs, SIGGRAPH 1978.
 */
export const hsvHue = ([r, g, b]: Triple): number | undefined => {
  const most = Math.max(r, g, b);
  const range = most - Math.min(r, g, b);
  if (!(range > 0)) return undefined;
  if (most === r) return (60 * ((g - b) / range) + 360) % 360;
  return most === g ? 60 * ((b - r) / range + 2) : 60 * ((r - g) / range + 4);
};
