import { clampUnit } from '../encode.ts';
import type { GamutMethod } from './method.ts';

/** Each channel on its own to the nearer end of [0, 1]; changes hue and lightness. NaN becomes 0. */
export const clip: GamutMethod = {
  name: 'clip',
  about: 'Cuts each of red, green and blue at its limits: fast, but hues shift.',
  map(rgb, at) {
    rgb[at] = clampUnit(rgb[at]!);
    rgb[at + 1] = clampUnit(rgb[at + 1]!);
    rgb[at + 2] = clampUnit(rgb[at + 2]!);
  },
};
