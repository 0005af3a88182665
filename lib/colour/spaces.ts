import type { SpaceName } from '../plane/picture.ts';
import type { Space } from './space.ts';
import { displayP3 } from './spaces/display-p3.ts';
import { srgb } from './spaces/srgb.ts';
import { srgbLinear } from './spaces/srgb-linear.ts';

/** Every output space by the name a recipe gives it. */
export const SPACES: Readonly<Record<SpaceName, Space>> = {
  srgb,
  'display-p3': displayP3,
  'srgb-linear': srgbLinear,
};
