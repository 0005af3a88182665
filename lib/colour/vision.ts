import { type Matrix, multiply, packRows } from '../plane/linear.ts';
import type { Space } from './space.ts';
import { srgb } from './spaces/srgb.ts';

/** Colour vision without one of the three kinds of cone. */
export type VisionName = 'protan' | 'deutan' | 'tritan';

/**
 * What linear-light sRGB looks like without long-, middle- or short-wave cones (severity 1.0).
 * G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A physiologically-based model for simulation of color vision
 * deficiency, IEEE Trans. Vis. Comput. Graph. 15(6) 1291–1298, 2009, matrices for severity 1.0.
 */
export const VISION_MATRICES: Readonly<Record<VisionName, Matrix>> = {
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

/** The same, packed by rows, for linear RGB of any space (the model is given for the primaries of sRGB). */
export const visionMatrix = (vision: VisionName, space: Space): Float64Array => {
  const toSrgb = multiply(srgb.fromXyz, space.toXyz);
  const back = multiply(space.fromXyz, srgb.toXyz);
  return packRows(multiply(back, multiply(VISION_MATRICES[vision], toSrgb)));
};

/** Replaces the linear RGB at rgb[at … at + 2] by its product with a packed 3 × 3 matrix; results may leave [0, 1]. */
export const applyMatrix = (rgb: Float64Array, at: number, m: Float64Array): void => {
  const r = rgb[at]!;
  const g = rgb[at + 1]!;
  const b = rgb[at + 2]!;
  rgb[at] = m[0]! * r + m[1]! * g + m[2]! * b;
  rgb[at + 1] = m[3]! * r + m[4]! * g + m[5]! * b;
  rgb[at + 2] = m[6]! * r + m[7]! * g + m[8]! * b;
};
