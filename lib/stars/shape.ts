/**
 * How the light of a star spreads over the pixels of a line: peak · (1 + r²)^−β with
 * r² = (dx²·(1 + e₁) + dy²·(1 − e₁) + 2·e₂·dx·dy) / α², distances in pixels.
 * Source: A. F. J. Moffat 1969, Astronomy & Astrophysics 3, 455; made elliptical.
 */
export interface StarShape {
  readonly alpha: number;
  readonly beta: number;
  readonly e1: number;
  readonly e2: number;
}

/** Shapes of stars that are too few to tell: a usual tail. From memory. */
export const USUAL_BETA = 2.8;

/** A round star of a full width at half maximum, in pixels. */
export const roundShape = (fwhm: number, beta = USUAL_BETA): StarShape => ({
  alpha: fwhm / (2 * Math.sqrt(2 ** (1 / beta) - 1)),
  beta,
  e1: 0,
  e2: 0,
});

/** Full width at half maximum in pixels: the geometric mean of the long and the short one. */
export const fwhmOf = ({ alpha, beta, e1, e2 }: StarShape): number =>
  (2 * alpha * Math.sqrt(2 ** (1 / beta) - 1)) / (1 - e1 * e1 - e2 * e2) ** 0.25;

/** 1 − short / long axis, 0 for round stars; and the angle of the long axis in degrees from x towards y, −90…90. */
export const ellipticityOf = ({ e1, e2 }: Pick<StarShape, 'e1' | 'e2'>): { flattening: number; angle: number } => {
  const e = Math.hypot(e1, e2);
  return { flattening: 1 - Math.sqrt((1 - e) / (1 + e)), angle: (90 / Math.PI) * Math.atan2(-e2, -e1) };
};

/** r² of a shape at a distance from its centre. */
export const radiusSquared = ({ alpha, e1, e2 }: StarShape, dx: number, dy: number): number =>
  (dx * dx * (1 + e1) + dy * dy * (1 - e1) + 2 * e2 * dx * dy) / (alpha * alpha);

/** Distance in pixels, along the long axis, where the light of a peak has fallen to a level; 0 where it is below. */
export const radiusAt = ({ alpha, beta, e1, e2 }: StarShape, peak: number, level: number): number => {
  const u = (peak / level) ** (1 / beta) - 1;
  return u > 0 ? alpha * Math.sqrt(u / (1 - Math.hypot(e1, e2))) : 0;
};

/** Steps of a profile for each unit of r. */
const STEPS = 256;

/** A shape as numbers to look up: light at r², peak 1, within 3e-5. */
export interface Profile {
  readonly shape: StarShape;
  /** Light at r = i / 256. */
  readonly values: Float64Array;
  readonly xx: number;
  readonly yy: number;
  readonly xy: number;
}

/** @param reach the largest distance in pixels that is asked for */
export const profileOf = (shape: StarShape, reach: number): Profile => {
  const { alpha, beta, e1, e2 } = shape;
  const farthest = (reach / alpha) * Math.sqrt(1 + Math.hypot(e1, e2));
  const values = new Float64Array(Math.ceil(farthest * STEPS) + 3);
  for (let i = 0; i < values.length; i++) values[i] = (1 + (i / STEPS) ** 2) ** -beta;
  const scale = (STEPS / alpha) ** 2;
  return { shape, values, xx: scale * (1 + e1), yy: scale * (1 - e1), xy: scale * 2 * e2 };
};

/** The light of a profile at a distance within its reach. */
export const lightAt = ({ values, xx, yy, xy }: Profile, dx: number, dy: number): number => {
  const r = Math.sqrt(dx * dx * xx + dy * dy * yy + dx * dy * xy);
  const i = r | 0;
  const a = values[i]!;
  return a + (r - i) * (values[i + 1]! - a);
};
