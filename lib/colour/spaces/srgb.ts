import { defineSpace } from '../space.ts';

/** IEC 61966-2-1; matrices as the exact fractions of CSS Color 4, "Sample code for color conversions". */
export const srgb = defineSpace({
  name: 'srgb',
  label: 'sRGB',
  transfer: 'srgb',
  toXyz: [
    [506752 / 1228815, 87881 / 245763, 12673 / 70218],
    [87098 / 409605, 175762 / 245763, 12673 / 175545],
    [7918 / 409605, 87881 / 737289, 1001167 / 1053270],
  ],
  fromXyz: [
    [12831 / 3959, -329 / 214, -1974 / 3959],
    [-851781 / 878810, 1648619 / 878810, 36519 / 878810],
    [705 / 12673, -2585 / 12673, 705 / 667],
  ],
});
