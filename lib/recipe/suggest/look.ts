import { LMS_TO_LAB } from '../../colour/lms.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { Finish } from '../../finish/finish.ts';
import { finishFunction } from '../../finish/finished.ts';
import type { Matrix } from '../../plane/linear.ts';
import { median } from '../../plane/robust.ts';
import { selectRank } from '../../plane/select.ts';
import { chromaSlopes } from './chroma-plane.ts';
import { momentsOf } from './moments.ts';
import type { Populations } from './populations.ts';

type Place = readonly [a: number, b: number];

/** What a matrix of display weights makes of populations, stars and sky. */
export interface Look {
  /** Mean OKLab a and b of each line's population. */
  readonly places: readonly Place[];
  /** The smallest distance between two of them. */
  readonly apart: number;
  /** Square root of the determinant of the covariance of OKLab a and b over all pixels with signal. */
  readonly spread: number;
  /** The OKLab chroma that 5 % of the bright pixels exceed. */
  readonly vivid: number;
  /** Share of the pixels with signal that leave the space. */
  readonly outside: number;
  /** By how much 98 % of them leave it at most. */
  readonly excess: number;
  /** Median OKLab position of the stars; undefined where there are too few. */
  readonly stars: Place | undefined;
}

/** So many stars are worth a look. */
export const FEWEST_STARS = 8;
/** A step of 8 bits. */
const STEP = 1 / 255;

const { decode } = SPACES.srgb;
const FINE = 4096;
const LIGHT = Float64Array.from({ length: FINE + 1 }, (_, i) => decode(i / FINE));

/** Decoded by a table; beyond the range, which is rare, by the function. */
const lightOf = (v: number): number => {
  if (!(v >= 0 && v < 1)) return decode(v);
  const at = v * FINE;
  const i = Math.floor(at);
  return LIGHT[i]! + (LIGHT[i + 1]! - LIGHT[i]!) * (at - i);
};

const root = new Float32Array(1);
const rootBits = new Int32Array(root.buffer);

/** The cube root of a positive number to 1e-9, in a third of the time of the exact one: a search asks for millions. */
const quickCbrt = (x: number): number => {
  if (!(x > 1e-30)) return Math.cbrt(x);
  root[0] = x;
  // A third of the bits of a float32 is the exponent of the root and a first guess of its mantissa.
  rootBits[0] = rootBits[0]! / 3 + 709921077;
  let y = root[0]!;
  for (let step = 0; step < 2; step++) {
    const cube = y * y * y;
    y *= (cube + 2 * x) / (2 * cube + x);
  }
  return y;
};

const { toLms: M } = SPACES.srgb;
const [L, A, B] = LMS_TO_LAB as readonly (readonly number[])[];

/** OKLab of a linear sRGB colour. */
const quickLab = (r: number, g: number, b: number, lab: Float64Array, at: number): void => {
  const long = quickCbrt(M[0]! * r + M[1]! * g + M[2]! * b);
  const middle = quickCbrt(M[3]! * r + M[4]! * g + M[5]! * b);
  const short = quickCbrt(M[6]! * r + M[7]! * g + M[8]! * b);
  lab[at] = L![0]! * long + L![1]! * middle + L![2]! * short;
  lab[at + 1] = A![0]! * long + A![1]! * middle + A![2]! * short;
  lab[at + 2] = B![0]! * long + B![1]! * middle + B![2]! * short;
};

/** Mixes pixels as display values, brings highlights back, finishes them, and leaves OKLab; tells how far out each lies. */
const mixAll = (matrix: Matrix, values: Float64Array, n: number, finish?: Finish) => {
  const count = values.length / n;
  const lab = new Float64Array(3 * count);
  const beyond = new Float64Array(count);
  const finished = finish && finishFunction(finish, SPACES.srgb);
  const rgb = new Float64Array(3);
  const weights = Float64Array.from(matrix.flat());
  for (let i = 0; i < count; i++) {
    let most = 1;
    let least = 0;
    for (let b = 0; b < 3; b++) {
      let sum = 0;
      for (let c = 0; c < n; c++) sum += weights[b * n + c]! * values[i * n + c]!;
      rgb[b] = sum;
      if (sum > most) most = sum;
      if (sum < least) least = sum;
    }
    beyond[i] = most - 1 - least;
    for (let b = 0; b < 3; b++) rgb[b] = lightOf(rgb[b]! / most);
    if (finished) {
      finished(rgb);
      const dark = SPACES.srgb.encode(Math.min(rgb[0]!, rgb[1]!, rgb[2]!));
      beyond[i] = Math.max(0, -dark, Math.max(rgb[0]!, rgb[1]!, rgb[2]!) - 1);
    }
    quickLab(rgb[0]!, rgb[1]!, rgb[2]!, lab, 3 * i);
  }
  return { lab, beyond, count };
};

/** What a share of the values stay below, 0 for none; reorders them. */
const rankOf = (values: Float64Array, share: number): number =>
  values.length === 0 ? 0 : selectRank(values, Math.floor(share * (values.length - 1)));

/** @param stars strengths of stars, line by line within one */
export const lookOf = (matrix: Matrix, populations: Populations, stars: Float64Array, finish?: Finish): Look => {
  const { lines, values, bright, byLine } = populations;
  const { lab, beyond, count } = mixAll(matrix, values, lines, finish);
  const places = byLine.map((members): Place => {
    let [a, b] = [0, 0];
    for (const i of members) {
      a += lab[3 * i + 1]!;
      b += lab[3 * i + 2]!;
    }
    return [a / members.length, b / members.length];
  });
  const distances = places.flatMap(([a, b], i) => places.slice(i + 1).map(([c, d]) => Math.hypot(a - c, b - d)));
  const chromas = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    chromas[2 * i] = lab[3 * i + 1]!;
    chromas[2 * i + 1] = lab[3 * i + 2]!;
  }
  const [[aa, ab], [, bb]] = momentsOf(chromas, 2).covariance as [[number, number], [number, number]];
  const sizes = new Float64Array(bright.length);
  for (let k = 0; k < sizes.length; k++) {
    const [a, b] = [lab[3 * bright[k]! + 1]!, lab[3 * bright[k]! + 2]!];
    sizes[k] = Math.sqrt(a * a + b * b);
  }
  let outside = 0;
  for (let i = 0; i < count; i++) if (beyond[i]! > STEP) outside++;
  return {
    places,
    apart: Math.min(...distances),
    spread: Math.sqrt(Math.max(0, aa * bb - ab * ab)),
    vivid: rankOf(sizes, 0.95),
    outside: outside / Math.max(1, count),
    excess: rankOf(beyond, 0.98),
    stars: starsOf(matrix, stars, lines, finish),
  };
};

const starsOf = (matrix: Matrix, stars: Float64Array, n: number, finish?: Finish): Place | undefined => {
  if (stars.length / n < FEWEST_STARS) return undefined;
  const { lab, count } = mixAll(matrix, stars, n, finish);
  const along = (k: number) => median(Array.from({ length: count }, (_, i) => lab[3 * i + k]!));
  return [along(1), along(2)];
};

/** The display value that a sky usually has. */
const SKY_SLOPES = chromaSlopes(0.12);

/** Noise of OKLab a and b together in a grey sky, for the noise of each line there. */
export const skyChroma = (matrix: Matrix, skyNoise: readonly number[]): number => {
  let variance = 0;
  for (const row of SKY_SLOPES)
    for (const [c, noise] of skyNoise.entries()) {
      const slope = row.reduce((sum, j, b) => sum + j * matrix[b]![c]!, 0);
      variance += (slope * noise) ** 2;
    }
  return Math.sqrt(variance);
};

/** A position along a hue in degrees. */
export const along = ([a, b]: Place, hue: number): number => {
  const angle = (hue * Math.PI) / 180;
  return a * Math.cos(angle) + b * Math.sin(angle);
};
