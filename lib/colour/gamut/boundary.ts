import { clampUnit } from '../encode.ts';
import { LAB_TO_LMS } from '../lms.ts';
import { moveToFirstZero } from './cubic.ts';

// A colour of OKLab whose chroma is scaled by u: the cube roots of its three cone responses are L + slope · u, so each
// channel of linear RGB is a cubic in u, and each of the six faces of the RGB cube is met at a root of a cubic.

const [[, LA, LB], [, MA, MB], [, SA, SB]] = LAB_TO_LMS as readonly [Triple, Triple, Triple];
type Triple = readonly [number, number, number];

/** The cubic of one channel and the u reached so far. */
const channel = new Float64Array(5);

/** How fast the cube roots of the three cone responses change with u: of the OKLab colour in `lab` (L, a, b). */
export const setSlope = (lab: Float64Array, slope: Float64Array): void => {
  const a = lab[1]!;
  const b = lab[2]!;
  slope[0] = LA * a + LB * b;
  slope[1] = MA * a + MB * b;
  slope[2] = SA * a + SB * b;
};

/** u ∈ [0, 1]: the greatest chroma scale up to which all colours of this lightness (0 < L < 1) lie in the RGB cube. */
export const firstExit = (light: number, slope: Float64Array, fromLms: Float64Array): number => {
  channel[4] = 1;
  stopAtFaces(light, slope, fromLms, 0);
  stopAtFaces(light, slope, fromLms, 3);
  stopAtFaces(light, slope, fromLms, 6);
  return channel[4]!;
};

/** The linear RGB of the colour at u to rgb[at …]; what rounding leaves outside the cube is cut. */
export const setColour = (
  light: number,
  slope: Float64Array,
  u: number,
  fromLms: Float64Array,
  rgb: Float64Array,
  at: number,
): void => {
  for (let i = 0; i < 3; i++) rgb[at + i] = clampUnit(channelAt(light, slope, u, fromLms, 3 * i));
};

/** One channel of linear RGB, that of the matrix row that begins at `row`, at u. */
export const channelAt = (light: number, slope: Float64Array, u: number, m: Float64Array, row: number): number =>
  m[row]! * cube(light + slope[0]! * u) +
  m[row + 1]! * cube(light + slope[1]! * u) +
  m[row + 2]! * cube(light + slope[2]! * u);

// `** 3` is a call to the general power function in today's engines, ten times slower than two products.
const cube = (x: number): number => x * x * x;

/** Moves channel[4] back to where one channel, p·(L + l·u)³ + q·(L + c·u)³ + r·(L + s·u)³, leaves [0, 1]. */
const stopAtFaces = (light: number, slope: Float64Array, m: Float64Array, row: number): void => {
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
