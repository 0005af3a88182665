import { clampUnit } from '../encode.ts';
import { LAB_TO_LMS } from '../lms.ts';
import { rgbToOklab } from '../oklab.ts';
import { clip } from './clip.ts';
import { moveToFirstZero } from './cubic.ts';
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
/** How fast the cube roots of the three cone responses change with u. */
const slope = new Float64Array(3);
/** The cubic of one channel and the u reached so far. */
const channel = new Float64Array(5);

/**
 * Constant lightness and hue in OKLCH, chroma reduced to the first boundary of the RGB cube.
 * With the chroma scaled by u from 0 to 1 each channel is a cubic in u, so each of the six faces is met at the first
 * root of a cubic: no search, no tolerance. Lightness ≥ 1 gives white, ≤ 0 black; so do channels that are not finite.
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
    else reduce(rgb, at, space.fromLms);
  },
};

const nearGamut = (value: number): boolean => value >= -TOLERANCE && value <= 1 + TOLERANCE;

/** The colour with the lightness and hue of `lab` on the surface of the cube, to rgb[at …]. */
const reduce = (rgb: Float64Array, at: number, m: Float64Array): void => {
  const light = lab[0]!;
  const a = lab[1]!;
  const b = lab[2]!;
  const l = LA * a + LB * b;
  const c = MA * a + MB * b;
  const s = SA * a + SB * b;
  slope[0] = l;
  slope[1] = c;
  slope[2] = s;
  channel[4] = 1;
  stopAtFaces(m, 0);
  stopAtFaces(m, 3);
  stopAtFaces(m, 6);
  const scale = channel[4]!;
  const long = cube(light + l * scale);
  const middle = cube(light + c * scale);
  const short = cube(light + s * scale);
  rgb[at] = clampUnit(m[0]! * long + m[1]! * middle + m[2]! * short);
  rgb[at + 1] = clampUnit(m[3]! * long + m[4]! * middle + m[5]! * short);
  rgb[at + 2] = clampUnit(m[6]! * long + m[7]! * middle + m[8]! * short);
};

// `** 3` is a call to the general power function in today's engines, ten times slower than two products.
const cube = (x: number): number => x * x * x;

/** Moves channel[4] back to where the channel of one matrix row, p·(L + l·u)³ + q·(L + c·u)³ + r·(L + s·u)³, leaves [0, 1]. */
const stopAtFaces = (m: Float64Array, row: number): void => {
  const light = lab[0]!;
  const p = m[row]!;
  const q = m[row + 1]!;
  const r = m[row + 2]!;
  const pl = p * slope[0]!;
  const qc = q * slope[1]!;
  const rs = r * slope[2]!;
  const pll = pl * slope[0]!;
  const qcc = qc * slope[1]!;
  const rss = rs * slope[2]!;
  const end = channel[4]!;
  const c0 = light * light * light * (p + q + r);
  const c1 = 3 * light * light * (pl + qc + rs);
  const c2 = 3 * light * (pll + qcc + rss);
  const c3 = pll * slope[0]! + qcc * slope[1]! + rss * slope[2]!;
  // The cubic over [0, end] lies between its Bézier ordinates: most channels need no root.
  const b1 = c0 + (c1 * end) / 3;
  const b2 = b1 + ((c1 + c2 * end) * end) / 3;
  const b3 = c0 + end * (c1 + end * (c2 + end * c3));
  if (b1 < 0 || b2 < 0 || b3 < 0) stopAtZero(c0, c1, c2, c3);
  if (b1 > 1 || b2 > 1 || b3 > 1) stopAtZero(1 - c0, -c1, -c2, -c3);
};

const stopAtZero = (c0: number, c1: number, c2: number, c3: number): void => {
  channel[0] = c0;
  channel[1] = c1;
  channel[2] = c2;
  channel[3] = c3;
  moveToFirstZero(channel);
};
