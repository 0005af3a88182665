import { rgbToOklab } from '../oklab.ts';
import { LAB_TO_LMS } from '../lms.ts';
import { clip } from './clip.ts';
import { firstZero } from './cubic.ts';
import { type GamutMethod, inGamut, setGrey } from './method.ts';

const [[, LA, LB], [, MA, MB], [, SA, SB]] = LAB_TO_LMS as readonly [Triple, Triple, Triple];
type Triple = readonly [number, number, number];

/**
 * Colours that leave [0, 1] by no more than this are clipped. Rounding of the matrices moves in-gamut colours by about
 * 1e-16; the tolerance lies far above that and far below one step of a 16-bit file (1.5e-5, at the dark end of sRGB
 * 1.2e-6 of light), so it never shows, and greys that rounding pushed past white do not take the long way round.
 */
const TOLERANCE = 1e-9;

const lab = new Float64Array(3);

/**
 * Constant lightness and hue in OKLCH, chroma reduced to the first boundary of the RGB cube.
 * With the chroma scaled by u from 0 to 1 each channel is a cubic in u, so each of the six faces is met at the first
 * root of a cubic: no search, no tolerance. Lightness ≥ 1 gives white, ≤ 0 or NaN black.
 */
export const chroma: GamutMethod = {
  name: 'chroma',
  about: 'Keeps lightness and hue and takes back just as much colourfulness as the space cannot show.',
  map(rgb, at, space) {
    if (inGamut(rgb, at)) return;
    if (nearGamut(rgb[at]!) && nearGamut(rgb[at + 1]!) && nearGamut(rgb[at + 2]!)) {
      clip.map(rgb, at, space);
      return;
    }
    rgbToOklab(rgb, at, space, lab, 0);
    const light = lab[0]!;
    if (!(light > 0) || light >= 1) setGrey(rgb, at, light >= 1 ? 1 : 0);
    else reduce(rgb, at, space.fromLms, light);
  },
};

const nearGamut = (value: number): boolean => value >= -TOLERANCE && value <= 1 + TOLERANCE;

/** The colour with the lightness and hue of `lab` on the surface of the cube, to rgb[at …]. */
const reduce = (rgb: Float64Array, at: number, m: Float64Array, light: number): void => {
  const a = lab[1]!;
  const b = lab[2]!;
  const l = LA * a + LB * b;
  const c = MA * a + MB * b;
  const s = SA * a + SB * b;
  let scale = 1;
  for (let row = 0; row < 9; row += 3) scale = firstLeave(m[row]!, m[row + 1]!, m[row + 2]!, light, l, c, s, scale);
  const long = (light + l * scale) ** 3;
  const middle = (light + c * scale) ** 3;
  const short = (light + s * scale) ** 3;
  rgb[at] = unit(m[0]! * long + m[1]! * middle + m[2]! * short);
  rgb[at + 1] = unit(m[3]! * long + m[4]! * middle + m[5]! * short);
  rgb[at + 2] = unit(m[6]! * long + m[7]! * middle + m[8]! * short);
};

const unit = (value: number): number => (value > 0 ? (value < 1 ? value : 1) : 0);

/** The first u in (0, end] where one channel, p·(L + l·u)³ + q·(L + c·u)³ + r·(L + s·u)³, leaves [0, 1]; else `end`. */
const firstLeave = (
  p: number, q: number, r: number, light: number, l: number, c: number, s: number, end: number,
): number => {
  const pl = p * l;
  const qc = q * c;
  const rs = r * s;
  const c0 = light * light * light * (p + q + r);
  const c1 = 3 * light * light * (pl + qc + rs);
  const c2 = 3 * light * (pl * l + qc * c + rs * s);
  const c3 = pl * l * l + qc * c * c + rs * s * s;
  // The cubic over [0, end] lies between its Bézier ordinates: most channels need no root.
  const b1 = c0 + (c1 * end) / 3;
  const b2 = b1 + ((c1 + c2 * end) * end) / 3;
  const b3 = c0 + end * (c1 + end * (c2 + end * c3));
  if (b1 < 0 || b2 < 0 || b3 < 0) end = firstZero(c0, c1, c2, c3, end);
  if (b1 > 1 || b2 > 1 || b3 > 1) end = firstZero(1 - c0, -c1, -c2, -c3, end);
  return end;
};
