import type { SpaceName } from '../plane/picture.ts';

// ICC.1:2022 (profile version 4), display class, three-component matrix-based (§8.4.3). The bytes depend on the space
// alone: the date is fixed, and the profile ID is zero, which the standard allows (§7.2.18: "not calculated").

type Vector = readonly [number, number, number];
type Matrix = readonly [Vector, Vector, Vector];

/** White and primaries as CIE xy chromaticities: IEC 61966-2-1:1999, and SMPTE EG 432-1 with the same white. */
const D65: readonly [number, number] = [0.3127, 0.329];
const SRGB_PRIMARIES = [
  [0.64, 0.33],
  [0.3, 0.6],
  [0.15, 0.06],
] as const;
const P3_PRIMARIES = [
  [0.68, 0.32],
  [0.265, 0.69],
  [0.15, 0.06],
] as const;

interface SpaceDescription {
  readonly title: string;
  readonly primaries: readonly (readonly [number, number])[];
  readonly linear: boolean;
}

const SPACES: Readonly<Record<SpaceName, SpaceDescription>> = {
  srgb: { title: 'sRGB', primaries: SRGB_PRIMARIES, linear: false },
  'display-p3': { title: 'Display P3', primaries: P3_PRIMARIES, linear: false },
  'srgb-linear': { title: 'Linear sRGB', primaries: SRGB_PRIMARIES, linear: true },
};

/** The profile connection space's white, exactly as its s15Fixed16 numbers must read (ICC.1:2022 §7.2.16). */
const D50_FIXED = [0xf6d6, 0x10000, 0xd32d] as const;
const D50: Vector = [0xf6d6 / 65536, 1, 0xd32d / 65536];

/** Cone responses of the linearized Bradford transform (ICC.1:2022 Annex E.3). */
const BRADFORD: Matrix = [
  [0.8951, 0.2664, -0.1614],
  [-0.7502, 1.7135, 0.0367],
  [0.0389, -0.0685, 1.0296],
];

/** IEC 61966-2-1 as parametric curve type 3: (a·x + b)^g from d upwards, c·x below; in the order g a b c d. */
const SRGB_CURVE = [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045] as const;

const times = (m: Matrix, v: Vector): Vector => [
  m[0][0] * v[0] + m[0][1] * v[1] + m[0][2] * v[2],
  m[1][0] * v[0] + m[1][1] * v[1] + m[1][2] * v[2],
  m[2][0] * v[0] + m[2][1] * v[1] + m[2][2] * v[2],
];

const column = (m: Matrix, i: 0 | 1 | 2): Vector => [m[0][i], m[1][i], m[2][i]];

const transpose = (m: Matrix): Matrix => [column(m, 0), column(m, 1), column(m, 2)];

const product = (a: Matrix, b: Matrix): Matrix =>
  transpose([times(a, column(b, 0)), times(a, column(b, 1)), times(a, column(b, 2))]);

const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

const inverse = (m: Matrix): Matrix => {
  const minors: Matrix = [cross(m[1], m[2]), cross(m[2], m[0]), cross(m[0], m[1])];
  const determinant = m[0][0] * minors[0][0] + m[0][1] * minors[0][1] + m[0][2] * minors[0][2];
  const over = (v: Vector): Vector => [v[0] / determinant, v[1] / determinant, v[2] / determinant];
  return transpose([over(minors[0]), over(minors[1]), over(minors[2])]);
};

/** XYZ of luminance 1 from a chromaticity. */
const xyzOf = ([x, y]: readonly [number, number]): Vector => [x / y, 1, (1 - x - y) / y];

/** The matrix that brings XYZ seen under D65 to XYZ under D50, the profile connection space. */
export const d65ToD50 = (): Matrix => {
  const from = times(BRADFORD, xyzOf(D65));
  const to = times(BRADFORD, D50);
  const [l, m, s] = [to[0] / from[0], to[1] / from[1], to[2] / from[2]];
  return product(
    inverse(BRADFORD),
    product(
      [
        [l, 0, 0],
        [0, m, 0],
        [0, 0, s],
      ],
      BRADFORD,
    ),
  );
};

/** Linear RGB → XYZ under D65: the primaries' columns, scaled so that (1, 1, 1) is the white. */
const rgbToXyz = (primaries: SpaceDescription['primaries']): Matrix => {
  const columns = transpose([xyzOf(primaries[0]!), xyzOf(primaries[1]!), xyzOf(primaries[2]!)]);
  const [r, g, b] = times(inverse(columns), xyzOf(D65));
  return product(columns, [
    [r, 0, 0],
    [0, g, 0],
    [0, 0, b],
  ]);
};

const fixed = (value: number): number => Math.round(value * 65536);

/** Red, green and blue columns as s15Fixed16; green takes up the rounding, so that white is D50 to the last bit. */
const colorants = (primaries: SpaceDescription['primaries']): number[][] => {
  const matrix = product(d65ToD50(), rgbToXyz(primaries));
  const red = column(matrix, 0).map(fixed);
  const blue = column(matrix, 2).map(fixed);
  const green = D50_FIXED.map((white, i) => white - red[i]! - blue[i]!);
  return [red, green, blue];
};

/** A tag element: four-letter type, four reserved bytes, then 32-bit words. */
const element = (type: string, words: readonly number[]): Uint8Array => {
  const bytes = new Uint8Array(8 + 4 * words.length);
  const view = new DataView(bytes.buffer);
  bytes.set(latin(type), 0);
  for (const [i, word] of words.entries()) view.setInt32(8 + 4 * i, word);
  return bytes;
};

/** multiLocalizedUnicodeType with one record, en-US, in UTF-16BE. */
const text = (value: string): Uint8Array => {
  const bytes = new Uint8Array(28 + 2 * value.length);
  bytes.set(element('mluc', [1, 12, 0x656e5553, 2 * value.length, 28]));
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < value.length; i++) view.setUint16(28 + 2 * i, value.charCodeAt(i));
  return bytes;
};

const latin = (value: string): Uint8Array => Uint8Array.from(value, (c) => c.charCodeAt(0));

const curve = (linear: boolean): Uint8Array =>
  linear ? element('curv', [0]) : element('para', [3 << 16, ...SRGB_CURVE.map(fixed)]);

/** The profile's tags; tags that are given the same bytes share them. */
const elementsOf = (space: SpaceDescription): [string, Uint8Array][] => {
  const [red, green, blue] = colorants(space.primaries);
  const response = curve(space.linear);
  return [
    ['desc', text(space.title)],
    ['cprt', text('CC0')],
    ['wtpt', element('XYZ ', D50_FIXED)],
    ['chad', element('sf32', d65ToD50().flat().map(fixed))],
    ['rXYZ', element('XYZ ', red!)],
    ['gXYZ', element('XYZ ', green!)],
    ['bXYZ', element('XYZ ', blue!)],
    ['rTRC', response],
    ['gTRC', response],
    ['bTRC', response],
  ];
};

/** The 128-byte header (ICC.1:2022 §7.2): version 4.3, display, RGB to XYZ, perceptual, illuminant D50. */
const header = (size: number): Uint8Array => {
  const bytes = new Uint8Array(128);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, size);
  view.setUint32(8, 0x04300000);
  bytes.set(latin('mntrRGB XYZ '), 12);
  for (const [i, part] of [2025, 1, 1, 0, 0, 0].entries()) view.setUint16(24 + 2 * i, part);
  bytes.set(latin('acsp'), 36);
  for (const [i, word] of D50_FIXED.entries()) view.setUint32(68 + 4 * i, word);
  return bytes;
};

/**
 * An ICC version 4 profile of an output space: matrix and curve, colorants adapted from D65 to D50 (linearized Bradford,
 * stated in `chad`). 460 to 500 bytes, the same on every call and machine.
 * sRGB and Display P3 carry the curve of IEC 61966-2-1 as a parametric curve, linear sRGB the identity.
 */
export const iccProfile = (space: SpaceName): Uint8Array => {
  const elements = elementsOf(SPACES[space]);
  const places = new Map<Uint8Array, number>();
  let end = 128 + 4 + 12 * elements.length;
  for (const [, bytes] of elements)
    if (!places.has(bytes)) {
      places.set(bytes, end);
      end += Math.ceil(bytes.length / 4) * 4;
    }
  const profile = new Uint8Array(end);
  profile.set(header(end));
  const view = new DataView(profile.buffer);
  view.setUint32(128, elements.length);
  for (const [i, [signature, bytes]] of elements.entries()) {
    const entry = 132 + 12 * i;
    profile.set(latin(signature), entry);
    view.setUint32(entry + 4, places.get(bytes)!);
    view.setUint32(entry + 8, bytes.length);
    profile.set(bytes, places.get(bytes)!);
  }
  return profile;
};
