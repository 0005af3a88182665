// The published formulas behind a picture, written apart from the library and in float64.

export type Triple = [number, number, number];
export type Matrix3 = readonly (readonly [number, number, number])[];

export const unit = (v: number): number => Math.min(1, Math.max(0, v));

export const times = (m: Matrix3, [x, y, z]: Triple): Triple => m.map(([a, b, c]) => a * x + b * y + c * z) as Triple;

const product = (a: Matrix3, b: Matrix3): Matrix3 =>
  a.map((row) => [0, 1, 2].map((k) => row[0] * b[0]![k]! + row[1] * b[1]![k]! + row[2] * b[2]![k]!) as Triple);

/** By cofactors. */
export const inverse = (m: Matrix3): Matrix3 => {
  const at = (r: number, c: number) => m[r % 3]![c % 3]!;
  const cofactor = (r: number, c: number) => at(r + 1, c + 1) * at(r + 2, c + 2) - at(r + 1, c + 2) * at(r + 2, c + 1);
  const determinant = [0, 1, 2].reduce((sum, c) => sum + at(0, c) * cofactor(0, c), 0);
  return [0, 1, 2].map((r) => [0, 1, 2].map((c) => cofactor(c, r) / determinant) as Triple);
};

/** IEC 61966-2-1, odd-symmetric. */
export const toDisplay = (light: number): number =>
  Math.sign(light) *
  (Math.abs(light) <= 0.0031308 ? 12.92 * Math.abs(light) : 1.055 * Math.abs(light) ** (1 / 2.4) - 0.055);

export const toLight = (value: number): number =>
  Math.sign(value) *
  (Math.abs(value) <= 0.04045 ? Math.abs(value) / 12.92 : ((Math.abs(value) + 0.055) / 1.055) ** 2.4);

/** x and y of the white D65 and of the primaries: IEC 61966-2-1, and SMPTE RP 431-2 with D65 (Display P3). */
const D65 = [0.3127, 0.329] as const;
const PRIMARIES = {
  srgb: [
    [0.64, 0.33],
    [0.3, 0.6],
    [0.15, 0.06],
  ],
  'display-p3': [
    [0.68, 0.32],
    [0.265, 0.69],
    [0.15, 0.06],
  ],
} as const;

const xyzOf = ([x, y]: readonly [number, number]): Triple => [x / y, 1, (1 - x - y) / y];

/** Linear RGB to XYZ from the chromaticities: primaries scaled so that they sum to white. */
const toXyz = (primaries: readonly (readonly [number, number])[]): Matrix3 => {
  const columns = primaries.map(xyzOf);
  const upright = [0, 1, 2].map((r) => columns.map((column) => column[r]!) as Triple);
  const amounts = times(inverse(upright), xyzOf(D65));
  return upright.map((row) => row.map((v, c) => v * amounts[c]!) as Triple);
};

/** OKLab of CSS Color 4: XYZ (D65) to cone responses, and their cube roots to L, a, b. */
const XYZ_TO_CONES: Matrix3 = [
  [0.819022437996703, 0.3619062600528904, -0.1288737815209879],
  [0.0329836539323885, 0.9292868615863434, 0.0361446663506424],
  [0.0481771893596242, 0.2642395317527308, 0.6335478284694309],
];
const ROOTS_TO_LAB: Matrix3 = [
  [0.210454268309314, 0.7936177747023054, -0.0040720430116193],
  [1.9779985324311684, -2.42859224204858, 0.450593709617411],
  [0.0259040424655478, 0.7827717124575296, -0.8086757549230774],
];
const LAB_TO_ROOTS = inverse(ROOTS_TO_LAB);

/** A colour space as far as pictures need it. */
export interface Gamut {
  /** Relative luminance of red, green and blue. */
  readonly luminance: Triple;
  /** The three cone responses of OKLab. */
  toCones(rgb: Triple): Triple;
  toLab(rgb: Triple): Triple;
  fromLab(lab: Triple): Triple;
}

const gamutOf = (primaries: readonly (readonly [number, number])[]): Gamut => {
  const xyz = toXyz(primaries);
  const cones = product(XYZ_TO_CONES, xyz);
  const back = inverse(cones);
  return {
    luminance: [...xyz[1]!],
    toCones: (rgb) => times(cones, rgb),
    toLab: (rgb) => times(ROOTS_TO_LAB, times(cones, rgb).map(Math.cbrt) as Triple),
    fromLab: (lab) => times(back, times(LAB_TO_ROOTS, lab).map((v) => v ** 3) as Triple),
  };
};

export const GAMUTS: Readonly<Record<string, Gamut>> = {
  srgb: gamutOf(PRIMARIES.srgb),
  'display-p3': gamutOf(PRIMARIES['display-p3']),
  'srgb-linear': gamutOf(PRIMARIES.srgb),
};
