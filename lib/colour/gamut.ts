import { chroma } from './gamut/chroma.ts';
import { clip } from './gamut/clip.ts';
import { css } from './gamut/css.ts';
import type { GamutMethod } from './gamut/method.ts';
import { smooth } from './gamut/smooth.ts';

/** Every gamut method by the name a recipe gives it, in the order menus show them. */
export const GAMUT_METHODS = { smooth, chroma, css, clip } as const satisfies Record<string, GamutMethod>;

export type GamutName = keyof typeof GAMUT_METHODS;

export const GAMUT_NAMES = Object.keys(GAMUT_METHODS) as readonly GamutName[] as readonly [GamutName, ...GamutName[]];

/** What a recipe means where it says nothing. */
export const DEFAULT_GAMUT: GamutName = 'smooth';
