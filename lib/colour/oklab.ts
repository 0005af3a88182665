import { LAB_TO_LMS, LMS_TO_LAB } from './lms.ts';
import type { Space } from './space.ts';

// Written out as constants: a per-pixel function must not chase arrays of arrays.
const [[L0, L1, L2], [A0, A1, A2], [B0, B1, B2]] = LMS_TO_LAB as Rows;
const [[, LA, LB], [, MA, MB], [, SA, SB]] = LAB_TO_LMS as Rows;
type Rows = readonly [Triple, Triple, Triple];
type Triple = readonly [number, number, number];

const DEGREES = 180 / Math.PI;

/**
 * Linear RGB of a space to OKLab (B. Ottosson 2020, matrices of CSS Color 4).
 * Reads rgb[at … at + 2], writes out[to … to + 2] as L (0 black … 1 white), a, b (about ±0.4); the two may overlap.
 * Any real input; NaN gives NaN.
 */
export const rgbToOklab = (rgb: Float64Array, at: number, space: Space, out: Float64Array, to: number): void => {
  const m = space.toLms;
  const r = rgb[at]!;
  const g = rgb[at + 1]!;
  const b = rgb[at + 2]!;
  out[to] = m[0]! * r + m[1]! * g + m[2]! * b;
  out[to + 1] = m[3]! * r + m[4]! * g + m[5]! * b;
  out[to + 2] = m[6]! * r + m[7]! * g + m[8]! * b;
  conesToOklab(out, to);
};

/** Three cone responses of OKLab to L, a, b, in place. */
export const conesToOklab = (cones: Float64Array, at: number): void => {
  const l = Math.cbrt(cones[at]!);
  const c = Math.cbrt(cones[at + 1]!);
  const s = Math.cbrt(cones[at + 2]!);
  cones[at] = L0 * l + L1 * c + L2 * s;
  cones[at + 1] = A0 * l + A1 * c + A2 * s;
  cones[at + 2] = B0 * l + B1 * c + B2 * s;
};

/** The inverse of `rgbToOklab`: L, a, b at lab[at …] to linear RGB at out[to …], not limited to [0, 1]. */
export const oklabToRgb = (lab: Float64Array, at: number, space: Space, out: Float64Array, to: number): void => {
  const m = space.fromLms;
  const light = lab[at]!;
  const a = lab[at + 1]!;
  const b = lab[at + 2]!;
  const l = cube(light + LA * a + LB * b);
  const c = cube(light + MA * a + MB * b);
  const s = cube(light + SA * a + SB * b);
  out[to] = m[0]! * l + m[1]! * c + m[2]! * s;
  out[to + 1] = m[3]! * l + m[4]! * c + m[5]! * s;
  out[to + 2] = m[6]! * l + m[7]! * c + m[8]! * s;
};

// `** 3` calls the general power function, ten times slower than two products.
const cube = (x: number): number => x * x * x;

/** OKLab to OKLCH in place: L, chroma ≥ 0, hue in degrees [0, 360). The hue of a grey carries no meaning. */
export const labToLch = (lab: Float64Array, at: number): void => {
  const a = lab[at + 1]!;
  const b = lab[at + 2]!;
  const hue = Math.atan2(b, a) * DEGREES;
  lab[at + 1] = Math.sqrt(a * a + b * b);
  lab[at + 2] = hue < 0 ? hue + 360 : hue;
};

/** OKLCH to OKLab in place; the hue may be any angle in degrees. */
export const lchToLab = (lch: Float64Array, at: number): void => {
  const chroma = lch[at + 1]!;
  const hue = lch[at + 2]! / DEGREES;
  lch[at + 1] = chroma * Math.cos(hue);
  lch[at + 2] = chroma * Math.sin(hue);
};

/** The straight distance between two OKLab colours (ΔEOK): 0.02 is about just noticeable, 1 is black to white. */
export const labDistance = (one: Float64Array, at: number, other: Float64Array, to: number): number => {
  const light = one[at]! - other[to]!;
  const a = one[at + 1]! - other[to + 1]!;
  const b = one[at + 2]! - other[to + 2]!;
  return Math.sqrt(light * light + a * a + b * b);
};
