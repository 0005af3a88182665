import { asinh } from './asinh.ts';
import { bias } from './bias.ts';
import type { CurveKind } from './curve.ts';
import { linear } from './linear.ts';
import { log } from './log.ts';
import { points } from './points.ts';
import { power } from './power.ts';

/** Every curve by name, in the order menus show them. */
export const CURVES = { bias, asinh, log, power, points, linear } as const satisfies Record<string, CurveKind>;

/** A curve that a recipe can name. */
export type CurveName = keyof typeof CURVES;

export const CURVE_NAMES = Object.keys(CURVES) as readonly CurveName[] as readonly [CurveName, ...CurveName[]];
