import { type Matrix, multiply, packRows } from '../plane/linear.ts';
import type { SpaceName } from '../plane/picture.ts';
import { LMS_TO_XYZ, XYZ_TO_LMS } from './lms.ts';
import { TRANSFERS, type Transfer, type TransferName } from './transfer.ts';

/** What a space's own file declares. */
export interface SpaceDefinition {
  readonly name: SpaceName;
  /** The name shown to people. */
  readonly label: string;
  readonly transfer: TransferName;
  /** Linear RGB to CIE XYZ with Y = 1 for white, 3 × 3 rows. */
  readonly toXyz: Matrix;
  /** The inverse of `toXyz`. */
  readonly fromXyz: Matrix;
}

/** An RGB output space with everything that follows from its definition. */
export interface Space extends SpaceDefinition, Transfer {
  /** Relative luminance of each primary: the Y row of `toXyz`. */
  readonly luminance: readonly [number, number, number];
  /** XYZ of linear RGB (1, 1, 1). */
  readonly white: readonly [number, number, number];
  /** The curve between light and what a screen of these primaries is sent; for a linear space that of sRGB. */
  readonly display: Transfer;
  /** Linear RGB to the cone responses of OKLab, packed by rows. */
  readonly toLms: Float64Array;
  /** Its inverse, packed by rows. */
  readonly fromLms: Float64Array;
}

const sum = (row: readonly number[]): number => row[0]! + row[1]! + row[2]!;

export const defineSpace = (definition: SpaceDefinition): Space => {
  const { toXyz, fromXyz, transfer } = definition;
  const [x, y, z] = toXyz as [number[], number[], number[]];
  return {
    ...definition,
    ...TRANSFERS[transfer],
    display: TRANSFERS[transfer === 'linear' ? 'srgb' : transfer],
    luminance: [y[0]!, y[1]!, y[2]!],
    white: [sum(x), sum(y), sum(z)],
    toLms: packRows(multiply(XYZ_TO_LMS, toXyz)),
    fromLms: packRows(multiply(fromXyz, LMS_TO_XYZ)),
  };
};
