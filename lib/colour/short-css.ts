import type { Triple } from '../plane/linear.ts';
import { convert, decodeRgb } from './convert.ts';
import { lchToLab, oklabToRgb } from './oklab.ts';
import type { Space } from './space.ts';
import { srgb } from './spaces/srgb.ts';

const NUMBER = String.raw`(\d+(?:\.\d+)?)`;
const HEX = /^#(?:[\da-f]{3}|[\da-f]{6})$/i;
const OKLCH = new RegExp(String.raw`^oklch\(\s*${NUMBER}\s+${NUMBER}\s+${NUMBER}\s*\)$`, 'i');

/**
 * The CSS colours that recipes mostly use, `#rgb`, `#rrggbb` and `oklch(L C H)` with plain numbers, as linear RGB of
 * `space`; undefined for any other text, which `parseColour` reads. Formulas: CSS Color 4, §5.2 and §9.4.
 */
export const shortColour = (text: string, space: Space): Triple | undefined => {
  if (HEX.test(text)) return convert(decodeRgb(codesOf(text.slice(1)), srgb), srgb, space);
  const [, light, chroma, hue] = OKLCH.exec(text) ?? [];
  // Lightness above 1 is limited by CSS; that is rare enough to leave to the full reader.
  if (light === undefined || Number(light) > 1) return undefined;
  const values = Float64Array.of(Number(light), Number(chroma), Number(hue));
  lchToLab(values, 0);
  oklabToRgb(values, 0, space, values, 0);
  return [values[0]!, values[1]!, values[2]!];
};

const codesOf = (digits: string): Triple => {
  const size = digits.length / 3;
  const code = (at: number): number => {
    const part = digits.slice(at * size, (at + 1) * size);
    return Number.parseInt(size === 1 ? part + part : part, 16) / 255;
  };
  return [code(0), code(1), code(2)];
};
