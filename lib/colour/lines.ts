import type { Triple } from '../plane/linear.ts';
import { fromXyz } from './convert.ts';
import { observerXyz } from './observer.ts';
import type { Space } from './space.ts';

/**
 * The colour of an emission line: linear RGB of monochromatic light in a space, at its brightest (largest channel 1).
 * No display shows a spectral colour; as much white is added as brings the lowest channel to 0, which keeps the
 * direction towards white in CIE xy ("dominant wavelength").
 * @param wavelength in nm of air, 380 to 780
 * @throws LinewashError 'input' for a wavelength without colour
 */
export const lineColour = (wavelength: number, space: Space): Triple => {
  const rgb = fromXyz(observerXyz(wavelength), space);
  const white = Math.max(0, -Math.min(...rgb));
  const most = Math.max(...rgb) + white;
  return [(rgb[0] + white) / most, (rgb[1] + white) / most, (rgb[2] + white) / most];
};
