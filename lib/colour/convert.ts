import { multiplyVector, type Triple } from '../plane/linear.ts';
import { labToLch, rgbToOklab } from './oklab.ts';
import type { Space } from './space.ts';

const triple = (values: readonly number[]): Triple => [values[0]!, values[1]!, values[2]!];

/** Linear RGB of one space as linear RGB of another; values outside [0, 1] mean that the other cannot show it. */
export const convert = (rgb: Triple, from: Space, to: Space): Triple =>
  from.toXyz === to.toXyz ? rgb : triple(multiplyVector(to.fromXyz, multiplyVector(from.toXyz, rgb)));

/** CIE XYZ (white has Y = 1) as linear RGB of a space. */
export const fromXyz = (xyz: Triple, space: Space): Triple => triple(multiplyVector(space.fromXyz, xyz));

/** Linear light to the encoded values of the space, channel by channel, without limits. */
export const encodeRgb = (rgb: Triple, space: Space): Triple => triple(rgb.map(space.encode));

/** Encoded values to linear light. */
export const decodeRgb = (rgb: Triple, space: Space): Triple => triple(rgb.map(space.decode));

/** Linear RGB as OKLCH: lightness 0 … 1, chroma, hue in degrees [0, 360). */
export const oklchOf = (rgb: Triple, space: Space): Triple => {
  const lch = Float64Array.from(rgb);
  rgbToOklab(lch, 0, space, lch, 0);
  labToLch(lch, 0);
  return triple([...lch]);
};
