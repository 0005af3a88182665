/** How intensities become the numbers of a file. */
export type TransferName = 'srgb' | 'linear';

/**
 * A transfer curve and its inverse. Both are odd-symmetric (f(−v) = −f(v)), take any real number and pass NaN through,
 * so that values outside [0, 1] survive a round trip.
 */
export interface Transfer {
  /** Linear light to encoded value. */
  readonly encode: (light: number) => number;
  /** Encoded value to linear light. */
  readonly decode: (value: number) => number;
}

/** IEC 61966-2-1:1999, extended to negative values as in CSS Color 4, "Sample code for color conversions". */
const encodeSrgb = (light: number): number => {
  const size = light < 0 ? -light : light;
  const value = size > 0.0031308 ? 1.055 * size ** (1 / 2.4) - 0.055 : 12.92 * size;
  return light < 0 ? -value : value;
};

const decodeSrgb = (value: number): number => {
  const size = value < 0 ? -value : value;
  const light = size > 0.04045 ? ((size + 0.055) / 1.055) ** 2.4 : size / 12.92;
  return value < 0 ? -light : light;
};

const same = (value: number): number => value;

export const TRANSFERS: Readonly<Record<TransferName, Transfer>> = {
  srgb: { encode: encodeSrgb, decode: decodeSrgb },
  linear: { encode: same, decode: same },
};
