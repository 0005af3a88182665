import { brightfen } from './brightfen.ts';
import { OPTICS } from './camera.ts';
import { gasOf } from './gas.ts';
import { EMBERWING, type SceneOptions, type TargetName } from './options.ts';
import { palehoop } from './palehoop.ts';
import { EMBERWING_STARS } from './stars.ts';
import type { Target } from './target.ts';

/** The invented targets, by the name that files carry. */
export const TARGETS: Readonly<Record<TargetName, Target>> = {
  emberwing: { object: 'Emberwing', options: EMBERWING, optics: OPTICS, gasOf, stars: EMBERWING_STARS },
  brightfen,
  palehoop,
};

export const TARGET_NAMES = Object.keys(TARGETS) as TargetName[];

/** All options of a scene: those left out are the target's own, Emberwing's where no target is named. */
export const completed = (options: Partial<SceneOptions> = {}): SceneOptions => ({
  ...TARGETS[options.target ?? 'emberwing'].options,
  ...options,
});
