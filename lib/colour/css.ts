import {
  A98RGB,
  ColorSpace,
  HSL,
  HWB,
  Lab,
  LCH,
  OKLab,
  OKLCH,
  P3,
  ProPhoto,
  parse,
  REC_2020,
  sRGB,
  sRGB_Linear,
  to,
  XYZ_D50,
  XYZ_D65,
} from 'colorjs.io/fn';
import type { Triple } from '../plane/linear.ts';
import { fromXyz } from './convert.ts';
import type { Space } from './space.ts';

for (const space of [
  sRGB,
  sRGB_Linear,
  HSL,
  HWB,
  Lab,
  LCH,
  OKLab,
  OKLCH,
  P3,
  A98RGB,
  ProPhoto,
  REC_2020,
  XYZ_D65,
  XYZ_D50,
])
  ColorSpace.register(space);

/** A colour, or what is wrong with the text, in a sentence without a full stop. */
export type ParsedColour = { readonly rgb: Triple } | { readonly fault: string };

const LONGEST = 200;

/**
 * Any opaque CSS Color 4 colour (names, #rgb, rgb(), hsl(), hwb(), lab(), lch(), oklab(), oklch(), color()) as linear
 * RGB of `space`. Colours that the space cannot show keep their values outside [0, 1]; `none` counts as 0.
 */
export const parseColour = (text: string, space: Space): ParsedColour => {
  if (text.length > LONGEST) return { fault: `a colour has at most ${LONGEST} characters, this has ${text.length}` };
  const parsed = attempt(text);
  if (parsed === undefined)
    return { fault: `${JSON.stringify(text)} is not a CSS colour such as #ff8800 or oklch(0.7 0.15 60)` };
  const { alpha, xyz } = parsed;
  if (alpha < 1) return { fault: `${JSON.stringify(text)} is transparent; a line's colour has no alpha` };
  if (!xyz.every(Number.isFinite)) return { fault: `${JSON.stringify(text)} has a value that is not a finite number` };
  return { rgb: fromXyz(xyz, space) };
};

/** The library throws errors of many kinds for text that is no colour; all of them mean just that. */
const attempt = (text: string): { alpha: number; xyz: Triple } | undefined => {
  try {
    const { coords, alpha } = to(parse(text), XYZ_D65);
    return { alpha: alpha ?? 1, xyz: [coords[0] ?? 0, coords[1] ?? 0, coords[2] ?? 0] };
  } catch {
    return undefined;
  }
};
