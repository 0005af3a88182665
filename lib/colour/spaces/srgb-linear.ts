import { defineSpace } from '../space.ts';
import { srgb } from './srgb.ts';

/** The primaries of sRGB with values proportional to light. */
export const srgbLinear = defineSpace({
  name: 'srgb-linear',
  label: 'Linear sRGB',
  transfer: 'linear',
  toXyz: srgb.toXyz,
  fromXyz: srgb.fromXyz,
});
