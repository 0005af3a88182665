import { defineSpace } from '../space.ts';

/** Display P3: SMPTE RP 431-2 primaries, D65, sRGB transfer; fractions of CSS Color 4. */
export const displayP3 = defineSpace({
  name: 'display-p3',
  label: 'Display P3',
  transfer: 'srgb',
  toXyz: [
    [608311 / 1250200, 189793 / 714400, 198249 / 1000160],
    [35783 / 156275, 247089 / 357200, 198249 / 2500400],
    [0, 32229 / 714400, 5220557 / 5000800],
  ],
  fromXyz: [
    [446124 / 178915, -333277 / 357830, -72051 / 178915],
    [-14852 / 17905, 63121 / 35810, 423 / 17905],
    [11844 / 330415, -50337 / 660830, 316169 / 330415],
  ],
});
