import { oklchOf } from '../../colour/convert.ts';
import type { ParsedColour } from '../../colour/css.ts';
import { GAMUT_METHODS, type GamutName } from '../../colour/gamut.ts';
import { lchToLab, oklabToRgb } from '../../colour/oklab.ts';
import type { Space } from '../../colour/space.ts';
import type { Triple } from '../../plane/linear.ts';

/** `0.12@235`: chroma and hue in degrees. */
const CHROMA_AT_HUE = /^\s*(\d*\.?\d+)\s*@\s*(-?\d*\.?\d+)\s*$/;
/** No display shows more; CSS calls 0.4 the full chroma (CSS Color 4, `oklch()`: 100 % is 0.4). */
const MOST_CHROMA = 0.4;

/**
 * The colour that a text asks for at a place, in gamut. `CHROMA@HUE`, as in `0.12@235`, keeps the place's lightness and
 * gives it an OKLCH chroma, 0 (grey) to 0.4, and a hue in degrees: 30 red, 75 gold, 145 green, 235 blue, 330 magenta.
 * Any CSS colour gives it a lightness as well.
 * @param shown linear light of the place as the mix shows it
 * @param parseColour reader of CSS colours
 * @returns linear light of the space, each 0…1, or what is wrong, in a sentence without a full stop
 */
export const wishedColour = (
  text: string,
  shown: Triple,
  { space, gamut }: { readonly space: Space; readonly gamut: GamutName },
  parseColour: (text: string, space: Space) => ParsedColour,
): ParsedColour => {
  const match = CHROMA_AT_HUE.exec(text);
  const wish = match ? withLightnessOf(shown, Number(match[1]), Number(match[2]), space) : parseColour(text, space);
  if ('fault' in wish) return wish;
  const rgb = Float64Array.from(wish.rgb);
  GAMUT_METHODS[gamut].map(rgb, 0, space);
  return { rgb: [rgb[0]!, rgb[1]!, rgb[2]!] };
};

const withLightnessOf = (shown: Triple, chroma: number, hue: number, space: Space): ParsedColour => {
  if (chroma > MOST_CHROMA) return { fault: `a chroma is 0 to ${MOST_CHROMA}, not ${chroma}` };
  const lab = Float64Array.of(oklchOf(shown, space)[0], chroma, hue);
  lchToLab(lab, 0);
  oklabToRgb(lab, 0, space, lab, 0);
  return { rgb: [lab[0]!, lab[1]!, lab[2]!] };
};
