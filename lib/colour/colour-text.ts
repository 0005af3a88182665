import type { Triple } from '../plane/linear.ts';
import { convert, encodeRgb } from './convert.ts';
import { clampUnit, quantise } from './encode.ts';
import { chroma } from './gamut/chroma.ts';
import type { Space } from './space.ts';
import { srgb } from './spaces/srgb.ts';

/** Linear RGB of a space as CSS text that keeps it: `color(display-p3 0.917488 0.200287 0.138561)`, six decimals. */
export const formatColour = (rgb: Triple, space: Space): string =>
  `color(${space.name} ${encodeRgb(rgb, space)
    .map((value) => String(Number(value.toFixed(6)) + 0))
    .join(' ')})`;

/** The nearest colour that every screen shows, as `#rrggbb`: brought into sRGB with lightness and hue kept. */
export const formatHex = (rgb: Triple, space: Space): string => {
  const light = Float64Array.from(convert(rgb, space, srgb));
  chroma.map(light, 0, srgb);
  const codes = Array.from(light, (value) => quantise(srgb.encode(clampUnit(value)), 255));
  return `#${codes.map((code) => code.toString(16).padStart(2, '0')).join('')}`;
};
